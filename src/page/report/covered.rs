//! What covered the heat that was asked for, hours sorted, of the shown option.

use super::carriers::Carriers;
use super::layers::layers;
use super::view::View;
use crate::answer::cover::SortedCover;
use crate::number::{self, Measure};
use crate::page::chart::{Pen, StackedHours};
use crate::page::parts::{Figure, Key, Of, half_figure, label, listed, quoted};

/// Draws it; `None` where no hour needs heat.
pub(super) fn covered(view: &View<'_>) -> Option<Figure> {
    let option = view.shown();
    let cover = &option.cover;
    if cover.need_kw.is_empty() {
        return None;
    }
    let pens = Carriers::of(view);
    let sources = option.sources.iter().zip(&cover.sources_kw);
    let sources = sources.map(|(source, kw)| (source.name.as_str(), pens.pen_of_source(source), kw));
    let layers = layers(&cover.recovered_kw, sources, &cover.short_kw);
    let hardest = cover.need_kw.len().div_ceil(20);
    let sentence = format!(
        "Of the heat asked for: {}. In the twentieth of the hours that ask for most: {}.",
        shares(&layers, cover, cover.need_kw.len()),
        shares(&layers, cover, hardest)
    );
    let key = layers
        .iter()
        .filter(|(_, _, kw)| kw.iter().any(|kw| *kw > 1e-6))
        .map(|(name, pen, _)| Key::fill(*pen, name.clone()))
        .collect();
    let measure = Measure::heat("kW");
    let chart = StackedHours {
        label: label(
            "covered",
            format!("What covers the heat asked for, hours sorted: {}", quoted(&option.name)),
            sentence,
        ),
        hours_per_step: cover.hours_per_step,
        unit: format!("heat, {}", measure.sign()),
        below: "hours of a season, sorted by their heat need".to_owned(),
        layers: layers.into_iter().map(|(_, pen, kw)| (pen, measure.values(&kw))).collect(),
    };
    Some(half_figure(Of::AllYears, &chart, &chart.label, key))
}

/// What each layer gives of what the first so many steps ask for: `recovered from condensers 17 % and heaters
/// 83 %`. The shares add up to a hundred as they are printed; what rounds to nothing is left out.
fn shares(layers: &[(String, Pen, Vec<f64>)], cover: &SortedCover, steps: usize) -> String {
    let parts: Vec<f64> = layers.iter().map(|(_, _, kw)| cover.sum_kwh(&kw[..steps])).collect();
    let said: Vec<String> = layers
        .iter()
        .zip(hundred(&parts))
        .filter(|(_, share)| *share > 0)
        .map(|((name, _, _), share)| {
            let share = number::fixed(f64::from(share) / 10.0, 1);
            format!("{name} {}", number::with_unit(&share, "%"))
        })
        .collect();
    listed(&said)
}

/// Shares in tenths of a percent that add up to a hundred percent: each rounded down, then the largest
/// remainders up. All nothing where there is nothing to share.
fn hundred(parts: &[f64]) -> Vec<u32> {
    const WHOLE: u32 = 1000;
    let sum: f64 = parts.iter().sum();
    if sum <= 0.0 {
        return vec![0; parts.len()];
    }
    let exact: Vec<f64> = parts.iter().map(|part| part / sum * f64::from(WHOLE)).collect();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 1000
    let mut shares: Vec<u32> = exact.iter().map(|share| share.max(0.0).floor() as u32).collect();
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by(|&a, &b| (exact[b].fract()).total_cmp(&exact[a].fract()));
    let lacking = WHOLE.saturating_sub(shares.iter().sum());
    for &place in order.iter().take(lacking as usize) {
        shares[place] += 1;
    }
    shares
}

#[cfg(test)]
mod tests {
    use super::hundred;

    #[test]
    fn shares_add_up_to_a_hundred_as_they_are_printed() {
        assert_eq!(hundred(&[1.0, 1.0, 1.0]), [334, 333, 333]);
        // 99.96 % and 0.04 %: nothing is left of the second.
        assert_eq!(hundred(&[99.96, 0.04]), [1000, 0]);
        assert_eq!(hundred(&[0.0, 0.0]), [0, 0]);
    }
}
