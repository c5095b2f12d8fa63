//! Charts: one file each, from plain data to an SVG string that the page styles.

mod bars;
mod bins;
mod by_hour;
mod canvas;
mod climate;
mod covered;
mod credit;
mod days;
mod duration;
mod flow;
mod frame;
mod heat_days;
mod heat_map;
mod month_bill;
mod nuts;
mod pen;
mod share_map;
mod tornado;
mod years;

pub use bars::{Bar, Bars};
pub use bins::BinCalendar;
pub use by_hour::ByHour;
pub use canvas::CannotDraw;
pub use climate::Climate;
pub use covered::Covered;
pub use credit::{Credit, CreditMonth};
pub use days::Days;
pub use duration::{Duration, LoadCurve};
pub use flow::{Flow, Ribbon};
pub use frame::{Drawn, Label, Width};
pub use heat_days::HeatDays;
pub use heat_map::HeatMap;
pub use month_bill::{BillMonth, MonthBill};
pub use nuts::NutsChart;
pub use pen::Pen;
pub use share_map::{SHARE_BOUNDS, ShareMap};
pub use tornado::{Tornado, TornadoRow};
pub use years::{Years, YearsRow};

/// A chart that can be drawn for a page and for a narrow screen.
pub trait Draw {
    /// Draws it.
    fn draw(&self, width: Width) -> Drawn<String>;
}
