//! Numbers that the page works from figures that stand beside each other: shares and differences. Each is worked here
//! again, from the figures.

use super::number::Number;
use serde_json::Value;

pub(super) struct Worked<'a> {
    all: &'a Value,
    /// The options that the words name; all where they name none.
    options: Vec<&'a Value>,
}

fn number(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or(0.0)
}

fn list<'a>(value: &'a Value, pointer: &str) -> Vec<&'a Value> {
    value.pointer(pointer).and_then(Value::as_array).map(|all| all.iter().collect()).unwrap_or_default()
}

/// What an option asks of its owner.
fn after_grant(option: &Value) -> f64 {
    number(option, "/life_cycle/capital") - number(option, "/life_cycle/grant")
}

/// All differences of two of these.
fn differences(of: &[f64]) -> Vec<f64> {
    of.iter().enumerate().flat_map(|(at, a)| of[at + 1..].iter().map(move |b| a - b)).collect()
}

impl<'a> Worked<'a> {
    pub(super) fn of(all: &'a Value, named: &[&str]) -> Self {
        let options = list(all, "/options").into_iter();
        let options = options.filter(|one| named.is_empty() || named.iter().any(|name| one["name"] == **name));
        Self { all, options: options.collect() }
    }

    /// What a number at a place may be besides a figure.
    pub(super) fn values(&self, section: &str, caption: &str, printed: &Number<'_>) -> Vec<f64> {
        let after = printed.after.trim_start();
        match section {
            "budget" if after.starts_with("% of the seasonal energy cost") => self.share_of_the_costliest_month(),
            "flows" if after.starts_with("% evaporates") || after.starts_with("% leaves") => {
                self.shares_of_drying_air()
            }
            "flows" if printed.before.contains("conversion loss") => self.conversion_losses(),
            "flows" if after.starts_with("MWh") || after.starts_with("kWh") => self.taken_by_sources(),
            "sizing" if after.starts_with('%') => self.shares_of_heat(),
            "answer" | "doubt-in-full" | "sheet" if after.starts_with("% off") => self.taken_off(),
            "answer" if after.starts_with("% of the heat need") => self.short_of_need(),
            "answer" if caption.starts_with("Options side by side") => self.each(after_grant),
            "sheet" if printed.before.contains("It asks for ") => {
                let asked: Vec<f64> = list(self.all, "/options").into_iter().map(after_grant).collect();
                differences(&asked).into_iter().chain(asked.iter().copied()).collect()
            }
            "answer" if after.starts_with("is to be paid") => {
                self.each(|option| number(option, "/total_cost") - number(option, "/own_worth"))
            }
            "sheet" if after.starts_with("less than with") || after.starts_with("more than with") => {
                let middle = |option: &Value| number(option, "/uncertainty/total_cost/p50");
                differences(&list(self.all, "/options").into_iter().map(middle).collect::<Vec<f64>>())
            }
            "recovered" | "recovered-in-full" if printed.before.ends_with("would bring ") => self.by_a_heat_pump(),
            "recovered-in-full" if after.starts_with("% of the need") || printed.before.contains("of the need in") => {
                self.shares_of_need_by_month()
            }
            "recovered-in-full" if after.starts_with("% of what the condensers") => self.unused(),
            "recovered-in-full" if after.starts_with("kWh are left") || after.starts_with("MWh are left") => {
                self.left()
            }
            "recovered" | "recovered-in-full"
                if printed.before.contains("would save") || after.starts_with("over the period") =>
            {
                self.between_places()
            }
            "method" if after.starts_with("inputs:") => {
                vec![number(self.all, "/input_counts/given") + number(self.all, "/input_counts/taken")]
            }
            "scheme" if caption.starts_with("Every measure") => {
                (1..=self.options.len()).map(|rank| rank as f64).collect()
            }
            _ => Vec::new(),
        }
    }

    fn each(&self, of: impl Fn(&Value) -> f64) -> Vec<f64> {
        self.options.iter().map(|option| of(option)).collect()
    }

    fn share_of_the_costliest_month(&self) -> Vec<f64> {
        self.each(|option| {
            let months = list(option, "/months");
            let most = months.iter().map(|month| number(month, "/total_cost")).fold(0.0, f64::max);
            100.0 * most / number(option, "/total_cost")
        })
    }

    fn shares_of_drying_air(&self) -> Vec<f64> {
        let ways = ["evaporation", "extracted_air", "envelope", "warming", "desorption"];
        let shares = ways.iter().flat_map(|way| {
            self.each(|option| 100.0 * number(option, &format!("/flow/{way}_kwh")) / number(option, "/flow/air_in_kwh"))
        });
        shares.collect()
    }

    fn conversion_losses(&self) -> Vec<f64> {
        self.each(|option| {
            list(option, "/sources").into_iter().map(|source| number(source, "/loss_kwh")).sum::<f64>() / 1e3
        })
    }

    /// What goes into a source of heat, in kWh and in MWh.
    fn taken_by_sources(&self) -> Vec<f64> {
        let sources = self.options.iter().flat_map(|option| list(option, "/sources"));
        let taken = sources.map(|source| number(source, "/fuel_kwh") + number(source, "/electricity_kwh"));
        taken.flat_map(|kwh| [kwh, kwh / 1e3]).collect()
    }

    /// Heat that a heat pump would bring for each kWh in the hours of recovery.
    fn by_a_heat_pump(&self) -> Vec<f64> {
        let places = list(self.all, "/condensers").into_iter().flat_map(|one| list(one, "/placements"));
        places.map(|place| number(place, "/useful_kwh") / number(place, "/heat_pump_kwh")).collect()
    }

    /// Shares of all heat and of that of the hardest twentieth of the hours.
    fn shares_of_heat(&self) -> Vec<f64> {
        let mut found = Vec::new();
        for option in &self.options {
            let layers: Vec<Vec<f64>> = list(option, "/cover/sources_kw")
                .into_iter()
                .chain([&option["cover"]["recovered_kw"], &option["cover"]["short_kw"]])
                .map(|layer| layer.as_array().into_iter().flatten().filter_map(Value::as_f64).collect())
                .collect();
            let steps = layers.iter().map(Vec::len).max().unwrap_or(0);
            let last = number(option, "/cover/hours_in_last_step") / number(option, "/cover/hours_per_step");
            let hours = |step: usize| if step + 1 == steps { last } else { 1.0 };
            for most in [steps, steps.div_ceil(20)] {
                let sum = |layer: &Vec<f64>| -> f64 {
                    layer.iter().take(most).enumerate().map(|(step, kw)| kw * hours(step)).sum()
                };
                let all: f64 = layers.iter().map(sum).sum();
                // They are printed so that they add up to a hundred: each may be rounded up or down.
                let tenths = layers.iter().map(|layer| 1000.0 * sum(layer) / all);
                found.extend(tenths.flat_map(|tenths| [tenths.floor() / 10.0, tenths.ceil() / 10.0]));
            }
        }
        found
    }

    fn taken_off(&self) -> Vec<f64> {
        let all = list(self.all, "/uncertainty/tornado").into_iter().flat_map(|one| list(one, "/inputs"));
        all.map(|input| 100.0 * (1.0 - number(input, "/range_left"))).collect()
    }

    fn short_of_need(&self) -> Vec<f64> {
        self.each(|option| 100.0 * number(option, "/heat_short_kwh") / number(option, "/heat_need_kwh"))
    }

    fn shares_of_need_by_month(&self) -> Vec<f64> {
        let months = self.options.iter().flat_map(|option| list(option, "/recovered/by_month_and_hour"));
        let sum = |month: &Value, key: &str| -> f64 { list(month, key).into_iter().filter_map(Value::as_f64).sum() };
        months.map(|month| 100.0 * sum(month, "/useful_kwh") / sum(month, "/need_kwh")).collect()
    }

    fn unused(&self) -> Vec<f64> {
        self.each(|option| {
            100.0 * (1.0 - number(option, "/recovered/useful_kwh") / number(option, "/recovered/gross_kwh"))
        })
    }

    /// Heat that a mean day leaves for the sources, in kWh and in MWh.
    fn left(&self) -> Vec<f64> {
        let sum = |option: &Value, key: &str| -> f64 {
            list(option, &format!("/recovered/{key}_by_hour_of_day_kwh")).into_iter().filter_map(Value::as_f64).sum()
        };
        let days = number(self.all, "/season/hours") / 24.0;
        let left = self.each(|option| (sum(option, "need") - sum(option, "useful")) / days);
        left.into_iter().flat_map(|kwh| [kwh, kwh / 1e3]).collect()
    }

    /// What one place of the condensers saves above another.
    fn between_places(&self) -> Vec<f64> {
        let all = list(self.all, "/condensers").into_iter().map(|one| list(one, "/placements"));
        all.flat_map(|places| {
            let saved: Vec<f64> = places.iter().map(|place| number(place, "/present_saved")).collect();
            differences(&saved)
        })
        .collect()
    }
}
