//! The fan of a bin: pressure of its bed and of everything else in the air's way.

use crate::airflow::{BedResistance, FanDuty, FanSpec, QuadraticResistance, air_viscosity_pa_s};

/// What a bin's fan works against, and the fan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BinFan {
    /// Resistance of the nuts.
    pub bed: BedResistance,
    /// Bulk density of the nuts as received, kg/m³; gives the depth.
    pub bulk_density_kg_per_m3: f64,
    /// Floor, ducts and heater of one bin at full load.
    pub ducts: QuadraticResistance,
    /// The fan.
    pub fan: FanSpec,
    /// Density of the air that the fan moves, kg/m³.
    pub air_density_kg_per_m3: f64,
    /// Temperature of the air in the bed, °C, for its viscosity.
    pub air_c: f64,
}

/// Nuts in a bin, in the way of the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NutBed {
    /// Resistance of the nuts.
    pub resistance: BedResistance,
    /// Bulk density as received, kg/m³.
    pub bulk_density_kg_per_m3: f64,
}

/// What a fan takes for one load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BinFanDuty {
    /// Air, m³/s.
    pub airflow_m3_per_s: f64,
    /// Depth of the bed, m.
    pub depth_m: f64,
    /// Superficial velocity in the bed, m/s.
    pub velocity_m_per_s: f64,
    /// Drop through the nuts, Pa.
    pub bed_pa: f64,
    /// Drop through floor, ducts and heater, Pa.
    pub ducts_pa: f64,
    /// Electricity and heat.
    pub duty: FanDuty,
}

impl BinFan {
    /// The same fan before other nuts; before its own where none are given.
    #[must_use]
    pub fn before(&self, nuts: Option<NutBed>) -> Self {
        nuts.map_or(*self, |nuts| Self {
            bed: nuts.resistance,
            bulk_density_kg_per_m3: nuts.bulk_density_kg_per_m3,
            ..*self
        })
    }

    /// The duty of a bin with this floor that holds `received_kg` and gets `airflow_m3_per_s`, of a fan whose
    /// motor is sized for just that.
    pub fn duty(&self, airflow_m3_per_s: f64, received_kg: f64, floor_area_m2: f64) -> BinFanDuty {
        self.duty_at_share(1.0, airflow_m3_per_s, received_kg, floor_area_m2)
    }

    /// The same at a share (0 to 1) of the air, m³/s, that the motor is sized for.
    pub fn duty_at_share(
        &self,
        share: f64,
        full_airflow_m3_per_s: f64,
        received_kg: f64,
        floor_area_m2: f64,
    ) -> BinFanDuty {
        let depth_m = received_kg / self.bulk_density_kg_per_m3 / floor_area_m2;
        let airflow_m3_per_s = share * full_airflow_m3_per_s;
        let velocity = airflow_m3_per_s / floor_area_m2;
        let bed_pa = self.bed_pa(velocity, depth_m);
        let ducts_pa = self.ducts.pressure_drop_pa(airflow_m3_per_s);
        let full_pa = self.pressure_drop_pa(full_airflow_m3_per_s, received_kg, floor_area_m2);
        BinFanDuty {
            airflow_m3_per_s,
            depth_m,
            velocity_m_per_s: velocity,
            bed_pa,
            ducts_pa,
            duty: self.fan.duty(
                airflow_m3_per_s,
                bed_pa + ducts_pa,
                full_airflow_m3_per_s * full_pa / 1000.0,
            ),
        }
    }

    /// Drop, Pa, through nuts, floor, ducts and heater of a bin with this floor that holds `received_kg`,
    /// at an airflow in m³/s.
    pub fn pressure_drop_pa(
        &self,
        airflow_m3_per_s: f64,
        received_kg: f64,
        floor_area_m2: f64,
    ) -> f64 {
        let depth_m = received_kg / self.bulk_density_kg_per_m3 / floor_area_m2;
        self.bed_pa(airflow_m3_per_s / floor_area_m2, depth_m)
            + self.ducts.pressure_drop_pa(airflow_m3_per_s)
    }

    fn bed_pa(&self, velocity_m_per_s: f64, depth_m: f64) -> f64 {
        self.bed.pressure_drop_pa(
            velocity_m_per_s,
            depth_m,
            self.air_density_kg_per_m3,
            air_viscosity_pa_s(self.air_c),
        )
    }
}
