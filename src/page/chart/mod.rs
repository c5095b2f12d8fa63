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
mod month_panels;
mod pen;
mod place_panels;
mod range_rows;
mod ranked_rows;
mod sorted_loads;
mod stacked_day;
mod stacked_days;
mod stacked_hours;
mod stacked_months;
mod stay_calendar;
mod tornado;

pub(super) use bars::{Bar, Bars};
pub(super) use by_hour::ByHour;
pub(super) use day_bands::DayBands;
pub(super) use day_hour_map::DayHourMap;
pub(super) use day_panels::DayPanels;
pub(super) use days::Days;
pub(super) use flow::{Flow, FlowWords, Ribbon, SLIGHT};
pub(super) use frame::{Label, Width};
pub(super) use gain_months::{GainMonth, GainMonths};
pub(super) use month_hour_map::{MonthHourMap, SHARE_BOUNDS};
pub(super) use month_panels::{MonthPanel, MonthPanels};
pub(super) use pen::Pen;
pub(super) use place_panels::{PlacePanel, PlacePanels, gain_step};
pub(super) use range_rows::{RangeRow, RangeRows};
pub(super) use ranked_rows::{RankedRow, RankedRows};
pub(super) use sorted_loads::{LoadCurve, SortedLoads};
pub(super) use stacked_day::StackedDay;
pub(super) use stacked_days::StackedDays;
pub(super) use stacked_hours::StackedHours;
pub(super) use stacked_months::{StackedMonth, StackedMonths};
pub(super) use stay_calendar::{BrokenDays, StayCalendar};
pub(super) use tornado::{Tornado, TornadoRow};

/// A chart that can be drawn for a page and for a narrow screen.
pub(super) trait Draw {
    /// Draws it.
    fn draw(&self, width: Width) -> String;
}
