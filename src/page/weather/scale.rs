//! Classes of colour. Lightness rises or falls steadily through each ramp, so that the classes stay apart
//! in grey print and for colour-blind eyes; hues are an aid on top.

use crate::number::fixed;

/// Class limits, ascending: class 0 lies below the first, the last class above the last.
pub(super) struct Scale {
    limits: Vec<f64>,
    /// CSS class of each class of values.
    classes: Vec<String>,
    unit: &'static str,
}

/// Colours there are for temperature, dark (cold) to light (hot).
const TEMPERATURE_COLOURS: usize = 9;

impl Scale {
    /// Round limits that spread these temperatures, °C, over at most nine classes.
    pub(super) fn of_temperatures(lowest: f64, highest: f64) -> Self {
        let inside = |step: f64| -> Vec<f64> {
            let first = (lowest / step).floor() + 1.0;
            (0..)
                .map(|k| (first + f64::from(k)) * step)
                .take_while(|limit| *limit < highest)
                .take(TEMPERATURE_COLOURS)
                .collect()
        };
        let limits = [1.0, 2.0, 3.0, 4.0, 5.0, 10.0]
            .into_iter()
            .map(inside)
            .find(|limits| limits.len() < TEMPERATURE_COLOURS)
            .unwrap_or_else(|| inside(20.0));
        let count = limits.len() + 1;
        // Few classes are spread over the whole ramp.
        let classes = (0..count)
            .map(|class| {
                let spread = (count - 1).max(1);
                format!("t{}", (class * (TEMPERATURE_COLOURS - 1) + spread / 2) / spread)
            })
            .collect();
        Self { limits, classes, unit: "°C" }
    }

    /// Relative humidity, %: tens from 30 to 90.
    pub(super) fn of_humidity() -> Self {
        Self {
            limits: (3..=9).map(|ten| 10.0 * f64::from(ten)).collect(),
            classes: (0..8).map(|class| format!("h{class}")).collect(),
            unit: "%",
        }
    }

    /// Which class a value is in.
    pub(super) fn class_of(&self, value: f64) -> usize {
        self.limits.iter().filter(|limit| value >= **limit).count()
    }

    /// Every class: its CSS class and its range in words.
    pub(super) fn key(&self) -> impl Iterator<Item = (&str, String)> {
        let text = |limit: &f64| fixed(*limit, 0);
        self.classes.iter().enumerate().map(move |(class, css)| {
            let words = match (class.checked_sub(1).map(|k| &self.limits[k]), self.limits.get(class)) {
                (None, None) => format!("all alike, {}", self.unit),
                (None, Some(above)) => format!("below {} {}", text(above), self.unit),
                (Some(below), Some(above)) => format!("{} to {}", text(below), text(above)),
                (Some(below), None) => format!("{} {} and above", text(below), self.unit),
            };
            (css.as_str(), words)
        })
    }

    /// CSS class of a class of values.
    pub(super) fn css(&self, class: usize) -> &str {
        &self.classes[class]
    }

    /// Number of classes.
    pub(super) fn len(&self) -> usize {
        self.classes.len()
    }
}
