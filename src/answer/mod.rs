//! What is said: the seasons that must be run for it are run here, judged and ranked, and every figure is held in
//! one structure ([`Figures`]) that the page, the terminal and the files are written from.

mod airflow;
mod answered;
mod build;
pub(crate) mod condensers;
pub(crate) mod cover;
mod crops;
mod difference;
pub(crate) mod figures;
pub(crate) mod guards;
pub(crate) mod hours;
mod input_counts;
pub(crate) mod judgement;
mod kernels;
mod level;
pub(crate) mod over_years;
mod overdried;
pub(crate) mod phase;
pub(crate) mod places;
mod ranking;
mod rooms;
mod screened;
mod set;
mod sheet;
mod size;
mod size_by_money;
mod targets;
mod trials;
mod unmeasured;
pub(crate) mod warnings;

pub(crate) use airflow::{AirflowFigures, AirflowPointFigures, LeastAirflow, airflow_figures};
pub(crate) use answered::{Answered, Asked, Count, Posed, answer_study};
pub(crate) use build::{Unreckoned, input_file};
pub(crate) use cover::MonthHours;
pub(crate) use difference::{Differences, Headline, InputDifference, Told, differences, letter};
pub(crate) use figures::{
    About, ApplicationFigures, Assumption, BilledMonth, BothKey, CarrierFigures, CarrierSign, ComparedFigure, Deciding,
    Figures, Formula, GuardFigures, HourlyLoad, InputFile, Joint, MonthFigures, OptionFigures, OwnedFigures,
    ProposalFigure, ProposalKey, SampledFigures, SeasonFigures, StudyFigures, Term, WarningFigures, WeatherFigures,
    Whose,
};
pub(crate) use guards::{GuardOfOptions, guards_of_options, spoiling};
pub(crate) use judgement::HEAT_SHORT_SHARE;
pub(crate) use kernels::KernelFigures;
pub(crate) use level::{level_sentence, mostly_undone};
pub(crate) use over_years::{over_years_sentences, told_phases};
pub(crate) use phase::{grown_options, phase_heads, phase_rows};
pub(crate) use screened::screening_sentences;
pub(crate) use set::{SetFigures, set_figures, set_words};
pub(crate) use sheet::told_sheet;
pub(crate) use size::{LeastFigures, SizeFigures, SizePoint, size_figures};
pub(crate) use size_by_money::{
    ByMoneyFigures, NextSize, PosedByMoney, SizedFigures, SizedPlant, least_seasons, size_by_money,
};

pub(crate) use unmeasured::unmeasured_sentences;
pub(crate) use warnings::weather_doubts;

use crate::study::input::{Input, Origin};

/// An input of the study as the report lists it.
fn assumption(input: &Input) -> Assumption {
    let (origin, source) = match &input.origin {
        // The name alone: figures do not depend on the folder a command was run in.
        Origin::Given { file, line, .. } => {
            let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
            (figures::GIVEN, format!("{name}, line {line}"))
        }
        Origin::Default { source } => ("default", source.clone()),
        Origin::Set => (figures::GIVEN, "set for this run".to_owned()),
    };
    Assumption {
        path: input.path.clone(),
        value: input.value_text.clone(),
        unit: input.unit.clone(),
        written: input.written.clone(),
        origin: origin.to_owned(),
        source,
    }
}
