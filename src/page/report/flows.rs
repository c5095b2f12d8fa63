//! Where each kWh goes, for every option: the figures are placed here, none is made.

mod places;

use super::view::View;
use super::whose;
use crate::answer::figures::OptionFigures;
use crate::number::{fixed, percent, unit_of_energy, with_unit};
use crate::page::chart::Flow;
use crate::page::parts::{Figure, Of, figure, label};
use places::Picture;
use serde::Serialize;

/// The sixth section.
#[derive(Debug, Serialize)]
pub(super) struct Flows {
    /// What it is called, by the unit in which its reader has energy.
    heading: String,
    figures: Vec<Figure>,
}

/// Height of the tallest stage of the largest option, px.
const TALL_PX: f64 = 200.0;

/// Builds it.
pub(super) fn flows(view: &View<'_>) -> Flows {
    let pictures: Vec<Picture> = view.figures.options.iter().map(Picture::of).collect();
    let largest = pictures.iter().map(Picture::comes_in).fold(1.0, f64::max);
    let heading = format!("Where each {} goes", unit_of_energy());
    let mut figures = Vec::new();
    for (place, (option, picture)) in view.figures.options.iter().zip(pictures).enumerate() {
        let chart = Flow {
            label: label(format!("flow-{place}"), format!("{heading}: {}", option.name), sentence(option)),
            nodes: picture.nodes(),
            ribbons: picture.ribbons,
            px_per_kwh: TALL_PX / largest,
        };
        figures.push(figure(Of::MeanOfYears, &chart, &chart.label, Vec::new()));
    }
    Flows { heading, figures }
}

fn sentence(option: &OptionFigures) -> String {
    let flow = &option.flow;
    let air = flow.air_in_kwh.max(1e-9);
    let exits = [
        ("leaves with extracted air", flow.extracted_air_kwh),
        ("leaves through the envelope", flow.envelope_kwh),
        ("warms nuts and steel", flow.warming_kwh),
        ("is heat of desorption", flow.desorption_kwh),
    ];
    let (way, most) = exits.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or(exits[0]);
    let residual = (flow.air_in_kwh - flow.air_out_kwh).abs() / air;
    format!(
        "The site {}. Of the heat in the drying air {} evaporates water, which is what drying is for; {} {way}. What enters the drying air less what leaves it is {} of it; the largest hourly residual of energy is {} and of water {} of the season’s total.",
        whose::uses(option),
        percent(flow.evaporation_kwh / air * 100.0),
        percent(most / air * 100.0),
        if residual < 5e-4 {
            format!("less than {}", with_unit(&fixed(0.05, 2), "%"))
        } else {
            percent(residual * 100.0)
        },
        super::method::scientific(option.residuals.energy),
        super::method::scientific(option.residuals.water),
    )
}
