//! Fans as designed: the air of each bin is what their curve gives against the beds, not a number asked
//! for.

use super::bin::{Bin, Load};
use super::bin_fan::{BinFan, NutBed};
use super::bin_spec::BinSpec;
use crate::airflow::{Branch, FanCurve, FanDuty, OperatingPoint, Plenum, QuadraticResistance, SpeedControl, Standing};

/// How fans and bins are joined.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FanLayout {
    /// Each loaded bin has its own fans, which stand while it is empty.
    PerBin,
    /// All fans blow into one plenum from which loaded bins take their air; dampers close empty ones off.
    /// A bin that cools stays open, with outside air in the plenum's place: its damper and pressure are
    /// the same (an assumption).
    CommonPlenum {
        /// Heater and main duct, which the air of all bins passes.
        main_duct: QuadraticResistance,
    },
}

/// The fans of a room's bins, known by their curve.
#[derive(Clone, Debug, PartialEq)]
pub struct FanBank {
    /// One fan at full speed in the air that it moves.
    pub curve: FanCurve,
    /// How fans and bins are joined.
    pub layout: FanLayout,
    /// Equal fans: of each bin, or of the whole room where they share a plenum. A plant that was grown
    /// may have a part of one, as if it were a smaller fan.
    pub fans: f64,
    /// The slowest that fans of variable speed turn, a share of full speed.
    pub least_speed: f64,
}

/// Bins whose fans are off their curve, by what ails them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OffCurve {
    /// Bins behind fans that stall.
    pub stalled: usize,
    /// Bins behind fans held back at the last point of their curve.
    pub throttled: usize,
}

impl OffCurve {
    /// Of these bins, with what was said of their fans when they were set; fans that stand are on no curve.
    pub(super) fn of(bins: &[Bin], standings: &[Option<Standing>]) -> Self {
        let mut off = Self::default();
        for (bin, standing) in bins.iter().zip(standings) {
            let runs = |load: &Load| load.airflow_m3_per_s > 0.0;
            if !bin.load.as_ref().is_some_and(runs) {
                continue;
            }
            match standing {
                None | Some(Standing::OnCurve) => {}
                Some(Standing::Throttled) => off.throttled += 1,
                Some(Standing::Stalled) => off.stalled += 1,
            }
        }
        off
    }
}

/// A loaded bin as the fans see it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadedBin {
    /// Received mass, kg.
    pub received_kg: f64,
    /// Floor, m².
    pub floor_area_m2: f64,
    /// The nuts in it, where they are not those that the room's fans are given for.
    pub nuts: Option<NutBed>,
}

impl LoadedBin {
    /// A bin that is full.
    pub fn full(bin: &BinSpec) -> Self {
        Self { received_kg: bin.capacity_t * 1000.0, floor_area_m2: bin.floor_area_m2, nuts: None }
    }
}

/// What fans do for one bin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BinShare {
    /// Air, m³/s.
    pub airflow_m3_per_s: f64,
    /// The bin's share, by its air, of the fans' electricity and heat.
    pub duty: FanDuty,
    /// Whether its fans are on their curve.
    pub standing: Standing,
}

/// A bed and its ducts, in the way of the air.
struct Loaded<'a> {
    fan: &'a BinFan,
    bin: LoadedBin,
}

impl Branch for Loaded<'_> {
    fn pressure_drop_pa(&self, flow_m3_per_s: f64) -> f64 {
        let LoadedBin { received_kg, floor_area_m2, nuts } = self.bin;
        self.fan.before(nuts).pressure_drop_pa(flow_m3_per_s, received_kg, floor_area_m2)
    }
}

impl FanBank {
    /// What the fans do for these bins, all loaded, in their order. `fan` says what they work against and
    /// how they are driven; fans of variable speed are asked for `airflow_m3_per_s_per_tonne` of received
    /// nuts, on a plenum for the sum of it.
    pub fn shares(&self, fan: &BinFan, airflow_m3_per_s_per_tonne: f64, bins: &[LoadedBin]) -> Vec<BinShare> {
        let curve = self.curve.clone().side_by_side(self.fans);
        let rated_shaft_kw = curve.most_shaft_kw();
        let share = |main_duct: QuadraticResistance, bins: &[LoadedBin]| {
            let branches: Vec<Loaded<'_>> = bins.iter().map(|&bin| Loaded { fan, bin }).collect();
            let plenum = Plenum { fans: &curve, main_duct, branches: &branches };
            let point = match fan.fan.speed {
                SpeedControl::Variable { .. } => {
                    let received_t = bins.iter().map(|bin| bin.received_kg).sum::<f64>() / 1000.0;
                    plenum.holding(airflow_m3_per_s_per_tonne * received_t, self.least_speed)
                }
                SpeedControl::Fixed => plenum.at_speed(1.0),
            };
            let duty = fan.fan.duty_of_shaft(point.shaft_kw, rated_shaft_kw);
            share_out(&point, duty)
        };
        match self.layout {
            _ if bins.is_empty() => Vec::new(),
            FanLayout::PerBin => bins.iter().flat_map(|&bin| share(QuadraticResistance::NONE, &[bin])).collect(),
            FanLayout::CommonPlenum { main_duct } => share(main_duct, bins),
        }
    }

    /// Gives every loaded bin its air and its fan's power, and says of each bin whether its fans are on their
    /// curve; nothing of empty ones.
    pub(super) fn set(&self, fan: &BinFan, airflow_m3_per_s_per_tonne: f64, bins: &mut [Bin]) -> Vec<Option<Standing>> {
        let loaded: Vec<LoadedBin> = bins
            .iter()
            .filter_map(|bin| {
                let load = bin.load.as_ref()?;
                Some(LoadedBin {
                    received_kg: load.received_kg,
                    floor_area_m2: bin.spec.floor_area_m2,
                    nuts: load.in_the_way,
                })
            })
            .collect();
        let shares = self.shares(fan, airflow_m3_per_s_per_tonne, &loaded);
        let mut shares = shares.into_iter();
        bins.iter_mut()
            .map(|bin| {
                let (load, share) = (bin.load.as_mut()?, shares.next()?);
                load.airflow_m3_per_s = share.airflow_m3_per_s;
                load.fan_kw = share.duty.electric_kw;
                load.fan_heat_kw = share.duty.heat_to_air_kw;
                Some(share.standing)
            })
            .collect()
    }

    /// The same fans for a room that holds `factor` times as much: those on a plenum grow with it, those
    /// of bins come with the bins.
    pub(super) fn for_room_times(&self, factor: f64) -> Self {
        match self.layout {
            FanLayout::PerBin => self.clone(),
            FanLayout::CommonPlenum { main_duct } => Self {
                fans: self.fans * factor,
                layout: FanLayout::CommonPlenum { main_duct: main_duct.for_flow_times(factor) },
                ..self.clone()
            },
        }
    }

    /// Fans, and the main duct, for `factor` times as much air at the same pressures.
    pub(super) fn for_air_times(&self, factor: f64) -> Self {
        let layout = match self.layout {
            FanLayout::PerBin => FanLayout::PerBin,
            FanLayout::CommonPlenum { main_duct } => {
                FanLayout::CommonPlenum { main_duct: main_duct.for_flow_times(factor) }
            }
        };
        Self { fans: self.fans * factor, layout, ..self.clone() }
    }
}

fn share_out(point: &OperatingPoint, duty: FanDuty) -> Vec<BinShare> {
    point
        .branches_m3_per_s
        .iter()
        .map(|&airflow_m3_per_s| {
            let share = airflow_m3_per_s / point.flow_m3_per_s;
            BinShare {
                airflow_m3_per_s,
                duty: FanDuty { electric_kw: duty.electric_kw * share, heat_to_air_kw: duty.heat_to_air_kw * share },
                standing: point.standing,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::airflow::{BedResistance, CONVERTER_EFFICIENCY, FanSpec};
    use approx::assert_relative_eq;

    fn bin_fan(speed: SpeedControl) -> BinFan {
        BinFan {
            bed: BedResistance::Ergun { diameter_m: 0.0237, porosity: 0.42, shape_factor: 1.5 },
            bulk_density_kg_per_m3: 600.0,
            ducts: QuadraticResistance::from_point(300.0, 0.48).unwrap(),
            fan: FanSpec { speed, ..FanSpec::default() },
            air_density_kg_per_m3: 1.07,
            air_c: 38.0,
        }
    }

    fn variable() -> BinFan {
        bin_fan(SpeedControl::Variable { converter_efficiency: CONVERTER_EFFICIENCY })
    }

    fn bank(layout: FanLayout, fans: f64) -> FanBank {
        FanBank { curve: FanCurve::parabola(800.0, 1.0, 0.55).unwrap(), layout, fans, least_speed: 0.2 }
    }

    const PLENUM: FanLayout = FanLayout::CommonPlenum { main_duct: QuadraticResistance::NONE };
    const BIN: LoadedBin = LoadedBin { received_kg: 6000.0, floor_area_m2: 5.0, nuts: None };

    #[test]
    fn a_plenum_of_as_many_fans_as_bins_is_as_good_as_a_fan_each() {
        let fan = bin_fan(SpeedControl::Fixed);
        let own = bank(FanLayout::PerBin, 1.0).shares(&fan, 0.08, &[BIN; 4]);
        let shared = bank(PLENUM, 4.0).shares(&fan, 0.08, &[BIN; 4]);
        for (own, shared) in own.iter().zip(&shared) {
            assert_relative_eq!(own.airflow_m3_per_s, shared.airflow_m3_per_s, max_relative = 1e-7);
            assert_relative_eq!(own.duty.electric_kw, shared.duty.electric_kw, max_relative = 1e-7);
        }
    }

    #[test]
    fn the_pressure_that_a_bin_takes_is_what_its_fan_gives_there() {
        let fan = bin_fan(SpeedControl::Fixed);
        let bank = bank(FanLayout::PerBin, 1.0);
        let air = bank.shares(&fan, 0.08, &[BIN])[0].airflow_m3_per_s;
        let taken = fan.pressure_drop_pa(air, BIN.received_kg, BIN.floor_area_m2);
        assert_relative_eq!(taken, bank.curve.pressure_pa(air), max_relative = 1e-8);
    }

    #[test]
    fn variable_speed_holds_the_air_asked_and_saves_power() {
        let fixed = bank(FanLayout::PerBin, 1.0).shares(&bin_fan(SpeedControl::Fixed), 0.08, &[BIN]);
        let held = bank(FanLayout::PerBin, 1.0).shares(&variable(), 0.08, &[BIN]);
        assert_relative_eq!(held[0].airflow_m3_per_s, 0.48, max_relative = 1e-9);
        assert!(fixed[0].airflow_m3_per_s > 0.48);
        assert!(held[0].duty.electric_kw < fixed[0].duty.electric_kw);
    }

    #[test]
    fn bins_that_are_closed_leave_their_air_to_the_others() {
        let fan = bin_fan(SpeedControl::Fixed);
        let two = bank(PLENUM, 4.0).shares(&fan, 0.08, &[BIN; 2]);
        let four = bank(PLENUM, 4.0).shares(&fan, 0.08, &[BIN; 4]);
        assert!(two[0].airflow_m3_per_s > four[0].airflow_m3_per_s);
        let shallow = LoadedBin { received_kg: 2000.0, ..BIN };
        let unlike = bank(PLENUM, 4.0).shares(&fan, 0.08, &[BIN, shallow]);
        assert!(unlike[1].airflow_m3_per_s > unlike[0].airflow_m3_per_s);
        assert!(bank(PLENUM, 4.0).shares(&fan, 0.08, &[]).is_empty());
    }
}
