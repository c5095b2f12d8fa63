//! What a finding casts doubt on, so that what only follows from a doubted value need not be told beside it.

/// What a finding is of. In the order of cause: what stands later may follow from what stands earlier, never the other
/// way round, so that no two findings can be taken for each other's cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Matter {
    /// Outside air as the weather files tell it.
    OutsideAir,
    /// Rows of an intake file.
    Deliveries,
    /// Moisture of the nuts that come.
    Moisture,
    /// What is known of the nuts: density, size.
    Nuts,
    /// What a bin holds and what it stands on.
    Bins,
    /// Tonnes of a day.
    DayTonnes,
    /// Tonnes of the season.
    SeasonTonnes,
    /// Air through the nuts.
    Airflow,
    /// Temperature, humidity and fresh air of a room.
    RoomAir,
    /// Walls of a room.
    RoomWalls,
    /// How long nuts stay in store.
    Stay,
    /// Room in the store.
    StoreVolume,
    /// Walls of the store.
    StoreWalls,
    /// Fans, lights and people in the store.
    StoreGains,
    /// What a kWh of electricity costs.
    ElectricityPrice,
}
