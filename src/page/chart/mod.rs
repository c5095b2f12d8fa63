//! Charts: one file each, from plain data to an SVG string that the page styles.

mod bars;
mod by_hour;
mod canvas;
mod day_bands;
mod day_hour_map;
mod day_panels;
mod days;
mod flow;
mod frame;
mod gain_months;
mod month_hour_map;
mod pen;
mod range_rows;
mod sorted_loads;
mod stacked_days;
mod stacked_hours;
mod stacked_months;
mod stay_calendar;
mod tornado;

pub use bars::{Bar, Bars};
pub use by_hour::ByHour;
pub use day_bands::DayBands;
pub use day_hour_map::DayHourMap;
pub use day_panels::DayPanels;
pub use days::Days;
pub use flow::{Flow, Ribbon};
pub use frame::{Label, Width};
pub use gain_months::{GainMonth, GainMonths};
pub use month_hour_map::{MonthHourMap, SHARE_BOUNDS};
pub use pen::Pen;
pub use range_rows::{RangeRow, RangeRows};
pub use sorted_loads::{LoadCurve, SortedLoads};
pub use stacked_days::StackedDays;
pub use stacked_hours::StackedHours;
pub use stacked_months::{StackedMonth, StackedMonths};
pub use stay_calendar::StayCalendar;
pub use tornado::{Tornado, TornadoRow};

/// A chart that can be drawn for a page and for a narrow screen.
pub trait Draw {
    /// Draws it.
    fn draw(&self, width: Width) -> String;
}
