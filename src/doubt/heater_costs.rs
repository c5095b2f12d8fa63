//! What heaters cost to buy and to keep, held beside what such things cost.

use super::Doubts;

/// What a kind of heater costs as it is installed, for each kW of its heat, in money about a dollar.
struct Usual {
    kind: &'static str,
    /// What people call several of them.
    called: &'static str,
    least: f64,
    most: f64,
}

/// Those of which more is known than of any heater: common practice, no published source, with a margin at both ends.
/// Compressors with both their exchangers, controls, ducts and the work of installing them mostly cost 400 to 2500, the
/// barest machines off the shelf 300; a furnace or boiler with hopper, feed and fans 250 to 1500. A tenth of that is what
/// the lower limits tell apart. An electric cabinet is 50 to 400.
const USUAL: [Usual; 7] = [
    Usual { kind: "heat-pump", called: "heat pumps", least: 250.0, most: 8_000.0 },
    Usual { kind: "condenser-heat-pump", called: "heat pumps", least: 250.0, most: 8_000.0 },
    Usual { kind: "dehumidifier", called: "dehumidifiers", least: 150.0, most: 8_000.0 },
    Usual { kind: "biomass", called: "burners of wood or shell with their feed", least: 120.0, most: 6_000.0 },
    Usual { kind: "resistance", called: "electric heaters", least: 3.0, most: 1_200.0 },
    Usual { kind: "burner", called: "burners", least: 3.0, most: 2_500.0 },
    Usual { kind: "direct-burner", called: "burners", least: 3.0, most: 2_500.0 },
];
/// Any other: from a boiler of an old greenhouse to collectors of a small plant (common practice, no published source, with
/// a margin at both ends).
const USUAL_OF_ANY: Usual = Usual { kind: "", called: "such sources", least: 3.0, most: 10_000.0 };
/// A heater smaller than this, kW, may cost what one of this size does: controls and installing hardly shrink with it
/// (assumption).
const SMALL_KW: f64 = 5.0;
/// Upkeep beyond this share of the capital, a year, is more often of the whole life (assumption).
const MUCH_UPKEEP: f64 = 0.5;
/// Upkeep below this share of the capital, a year, is more often in thousands: a cabinet of heaters takes some 1 to 10 %
/// (assumption, with a margin of ten).
const LITTLE_UPKEEP: f64 = 0.001;
/// Upkeep beyond this share of the capital is of cheap or second-hand heaters, or of fires that a person feeds; beyond so
/// much for each kW as well, in money about a dollar, it has a digit too many more often (assumption: a man for every
/// season's fire costs less).
const HIGH_UPKEEP: f64 = 0.2;
const HIGH_UPKEEP_PER_KW: f64 = 100.0;

/// What is said of the costs of one source.
struct Bought {
    name: String,
    kind: &'static Usual,
    /// Its heat at most, kW; `None` where it is not known.
    kw: Option<f64>,
    /// What is paid once, and what it is paid for each kW of that.
    capital: f64,
    by_size: f64,
    upkeep: Option<f64>,
    /// What every option that has it pays for works besides, at least.
    works: f64,
}

impl Doubts<'_> {
    /// Capital and upkeep of sources.
    pub(super) fn costs_of_sources(&mut self) {
        for bought in self.bought() {
            self.capital_of(&bought);
            self.upkeep_of(&bought);
        }
    }

    /// Sources that cost anything. Those that stand already cost nothing.
    fn bought(&self) -> Vec<Bought> {
        let all = self.of_each("source.", ".capital").into_iter();
        let each = all.map(|(name, fixed)| {
            let of = |key: &str| self.number(&format!("source.{name}.{key}")).filter(|number| *number > 0.0);
            let by_size = of("capital_per_kw").zip(of("capacity_kw")).map_or(0.0, |(per_kw, kw)| per_kw * kw);
            let (kw, upkeep) = (of("capacity_kw"), of("upkeep_per_year"));
            let (kind, works) = (self.usual_of(&name), self.works_beside(&name));
            Bought { name, kind, kw, capital: fixed + by_size, by_size, upkeep, works }
        });
        each.filter(|bought| bought.capital > 0.0).collect()
    }

    fn usual_of(&self, source: &str) -> &'static Usual {
        let word = self.word(&format!("source.{source}.kind"));
        USUAL.iter().find(|usual| Some(usual.kind) == word).unwrap_or(&USUAL_OF_ANY)
    }

    /// What each option that calls on a source pays for works of its own, at least.
    fn works_beside(&self, source: &str) -> f64 {
        let calls = self.study.heatings.iter().filter(|heating| heating.sources.iter().any(|one| one.name == source));
        let works = calls.map(|heating| self.number(&format!("option.{}.capital", heating.name)).unwrap_or(0.0));
        works.reduce(f64::min).unwrap_or(0.0).max(0.0)
    }

    fn capital_of(&mut self, bought: &Bought) {
        let Bought { name, kind, capital, .. } = bought;
        let (Some(kw), Some((least, most))) = (bought.kw, self.in_own_money(kind.least..=kind.most)) else { return };
        let is_little = (capital + bought.works) / kw < least;
        if !is_little && capital / kw.max(SMALL_KW) <= most {
            return;
        }
        let key = if bought.by_size > 0.5 * capital { "capital_per_kw" } else { "capital" };
        let what = format!(
            "source \"{name}\" costs {capital} for {kw} kW, {} a kW; {} cost {} to {} {} a kW as they are installed",
            plain(capital / kw),
            kind.called,
            plain(least),
            plain(most),
            self.study.currency.code()
        );
        let cure = "give whole money, not thousands, and all that it costs until it runs; look at the digits of capital, capital_per_kw and capacity_kw";
        self.doubt("source.capital", &format!("source.{name}.{key}"), what, cure);
    }

    fn upkeep_of(&mut self, bought: &Bought) {
        let Bought { name, capital, .. } = bought;
        let Some(upkeep) = bought.upkeep else { return };
        let share = upkeep / capital;
        let dear_kw = self.in_own_money(HIGH_UPKEEP_PER_KW..=HIGH_UPKEEP_PER_KW).map(|(_, most)| most);
        let is_dear = bought.kw.zip(dear_kw).is_some_and(|(kw, dear)| upkeep / kw > dear);
        if (LITTLE_UPKEEP..=MUCH_UPKEEP).contains(&share) && !(share > HIGH_UPKEEP && is_dear) {
            return;
        }
        let what = format!(
            "upkeep_per_year is {upkeep}, {} % of the {capital} that the source \"{name}\" costs; some 1 to 10 % is usual",
            plain(share * 100.0)
        );
        let cure = "give the upkeep of one year, without energy, in whole money; 0 is none";
        self.doubt("source.upkeep", &format!("source.{name}.upkeep_per_year"), what, cure);
    }
}

/// A number that is told to be compared: whole where that says enough.
fn plain(number: f64) -> String {
    if number < 10.0 { format!("{}", (number * 1000.0).round() / 1000.0) } else { format!("{number:.0}") }
}
