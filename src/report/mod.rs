//! The report: what is said ([`Figures`]), how numbers read, charts, and one HTML page.

mod chart;
mod figures;
mod number;

pub use figures::{
    Assumption, CarrierFigures, Figures, GuardFigures, InputFile, LifeCycleFigures, MonthFigures,
    OptionFigures, OptionYearFigures, Quantiles, RecoveredFigures, ResidualFigures, SeasonFigures,
    SourceFigures, StudyFigures, Tool, UncertaintyFigures, WeatherFigures, WeatherYearFigures,
};
