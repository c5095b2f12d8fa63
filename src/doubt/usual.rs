//! Values that a study gives far from what is built or done: a digit too many, a point too few, another unit.

use super::Doubts;

/// A value that hardly ever lies beyond these.
struct Usual {
    /// How the path of its table begins.
    table: &'static str,
    /// How the path goes on to the end.
    key: &'static str,
    low: f64,
    high: f64,
    code: &'static str,
    /// What would be normal.
    normal: &'static str,
    cure: &'static str,
}

/// All of them: common practice, no published source, with a margin at both ends wide enough for what is rare and real.
/// Only what a study gives is held beside them. Lives are those of heaters, works and halls; a store's compressors are
/// rated at 27/19 °C inside and 35 °C outside, where they reach 2.2 to 4.5.
const USUAL: [Usual; 18] = [
    Usual {
        table: "room.",
        key: ".cooling_hours",
        low: 0.0,
        high: 24.0,
        code: "room.cooling_hours",
        normal: "outside air cools a bin in some 2 to 12 h",
        cure: "give hours after drying; nuts that dry on in outside air are a stage that is not heated",
    },
    Usual {
        table: "room.",
        key: ".transfer_hours",
        low: 0.0,
        high: 24.0,
        code: "room.transfer_hours",
        normal: "a bin is emptied into the next in some 1 to 8 h",
        cure: "give the hours that a batch is without air on its way",
    },
    Usual {
        table: "room.",
        key: ".moisture_spread",
        low: 0.2,
        high: 12.0,
        code: "room.moisture_spread",
        normal: "some 1 to 6 points between the mean and the wettest even out in store",
        cure: "give points of moisture, % w.b.",
    },
    Usual {
        table: "room.",
        key: ".relative_humidity_max",
        low: 15.0,
        high: 85.0,
        code: "room.humidity",
        normal: "rooms are held at some 25 to 70 % RH at most",
        cure: "give the humidity up to which the room's air is kept, percent",
    },
    Usual {
        table: "room.",
        key: ".fans_off_above_rh",
        low: 30.0,
        high: 100.0,
        code: "room.fans_off",
        normal: "fans are stopped in air of some 60 to 95 % RH",
        cure: "give the humidity above which fans stand, percent: below it they run",
    },
    Usual {
        table: "room.",
        key: ".temperature_c",
        low: 12.0,
        high: 80.0,
        code: "room.temperature",
        normal: "in-shell nuts are dried at some 25 to 55 °C",
        cure: "give °C of the air before the nuts; air that is not warmed is `heated = false`",
    },
    Usual {
        table: "cool_store.",
        key: "temperature_c",
        low: -25.0,
        high: 28.0,
        code: "store.temperature",
        normal: "nuts are stored at some 0 to 25 °C",
        cure: "give °C, or text with its unit: \"50 F\"",
    },
    Usual {
        table: "cool_store.",
        key: "air_changes_per_hour",
        low: 0.0,
        high: 5.0,
        code: "store.air_changes",
        normal: "closed stores have 0.05 to 1, with doors that stand open some 2",
        cure: "give air changes for an hour, not for a day",
    },
    Usual {
        table: "cool_store.",
        key: "units.cop",
        low: 1.6,
        high: 6.0,
        code: "store.cop",
        normal: "units reach some 2.2 to 4.5 at 27/19 °C inside and 35 °C outside",
        cure: "give cooling over electricity at these conditions, not a figure of mild days, and no EER in Btu/Wh",
    },
    Usual {
        table: "source.",
        key: ".carnot_fraction",
        low: 0.2,
        high: 0.65,
        code: "source.cop",
        normal: "real machines reach 0.4 to 0.55 of Carnot",
        cure: "give the share between evaporating and condensing temperature, fans and pumps counted",
    },
    Usual {
        table: "source.",
        key: ".sink_approach_k",
        low: 1.0,
        high: 25.0,
        code: "source.approach",
        normal: "condensers stand 5 to 15 K above the air that they heat",
        cure: "give a difference of temperatures, K",
    },
    Usual {
        table: "source.",
        key: ".source_approach_k",
        low: 1.0,
        high: 25.0,
        code: "source.approach",
        normal: "evaporators stand 4 to 12 K below what they take heat from",
        cure: "give a difference of temperatures, K",
    },
    Usual {
        table: "source.",
        key: ".distribution_loss",
        low: 0.0,
        high: 0.35,
        code: "source.distribution",
        normal: "pipes lose 0.05 to 0.15 of the heat, long and bare ones 0.3",
        cure: "10 % is 0.1",
    },
    Usual {
        table: "source.",
        key: ".electricity_share",
        low: 0.0,
        high: 0.15,
        code: "source.electricity",
        normal: "fans and feed of a burner take 0.005 to 0.05 kW for each kW of heat",
        cure: "2 % is 0.02",
    },
    Usual {
        table: "source.",
        key: ".leak",
        low: 0.0,
        high: 0.3,
        code: "source.leak",
        normal: "exchangers leak 0.01 to 0.1 of their air",
        cure: "5 % is 0.05",
    },
    Usual {
        table: "source.",
        key: ".fan_kw_per_kg_per_s",
        low: 0.0,
        high: 3.0,
        code: "source.fan",
        normal: "both sides of an exchanger take some 0.2 to 1.5 kW for each kg/s",
        cure: "give kW for each kg of air a second",
    },
    Usual {
        table: "source.",
        key: ".life_years",
        low: 3.0,
        high: 50.0,
        code: "source.life",
        normal: "heaters last some 8 to 30 years",
        cure: "give years, not months or tens of years",
    },
    Usual {
        table: "option.",
        key: ".life_years",
        low: 3.0,
        high: 50.0,
        code: "option.life",
        normal: "works last some 8 to 40 years",
        cure: "give years, not months or tens of years",
    },
];

/// Fans of a collector that take more than this for each m² of it, kW (common practice, no published source: 0.005 to
/// 0.03).
const COLLECTOR_FAN_KW_PER_M2: f64 = 0.1;

impl Doubts<'_> {
    /// Values beyond what is usual of their key.
    pub(super) fn usual_values(&mut self) {
        let mut found = Vec::new();
        for input in self.inputs.iter().filter(|input| !input.is_default()) {
            let of = |usual: &&Usual| input.path.starts_with(usual.table) && input.path.ends_with(usual.key);
            let (Some(usual), Some(number)) = (USUAL.iter().find(of), input.number) else { continue };
            if (usual.low..=usual.high).contains(&number) {
                continue;
            }
            let name = usual.key.rsplit('.').next().unwrap_or_default();
            let unit = if input.unit == "-" { "" } else { &input.unit };
            let what = format!("{name} is {}; {}", format!("{number} {unit}").trim_end(), usual.normal);
            found.push((usual.code, input.path.clone(), what, usual.cure));
        }
        let fans = self.inputs.iter().filter_map(|input| {
            let source = input.path.strip_prefix("source.")?.strip_suffix(".fan_kw")?;
            let kw = input.number.filter(|_| !input.is_default())?;
            let area = format!("source.{source}.area_m2");
            let area_m2 = self.inputs.iter().find(|other| other.path == area)?.number?;
            let what =
                format!("fan_kw is {kw} kW for {area_m2} m² of collector; fans take some 0.005 to 0.03 kW for each m²");
            (kw > COLLECTOR_FAN_KW_PER_M2 * area_m2).then(|| (input.path.clone(), what))
        });
        for (path, what) in fans {
            found.push(("source.fan", path, what, "give kW of its own fan alone, not of all fans"));
        }
        for (code, path, what, cure) in found {
            self.doubt(code, &path, what, cure);
        }
    }
}
