//! What covered the sorted heat need of the shown option.

use super::parts::{Figure, Key, figure, label, listed, quoted};
use super::view::View;
use crate::report::chart::{Covered, Drawn, Pen};
use crate::report::cover::SortedCover;
use crate::report::number::percent;

/// Draws it; `None` where no hour needs heat.
pub fn covered(view: &View<'_>) -> Drawn<Option<Figure>> {
    let option = view.shown();
    let cover = &option.cover;
    if cover.need_kw.is_empty() {
        return Ok(None);
    }
    let names: Vec<&str> = option.sources.iter().map(|source| source.name.as_str()).collect();
    let layers = layers(cover, &names);
    let hardest = cover.need_kw.len().div_ceil(20);
    let sentence = format!(
        "Of the heat need: {}. In the twentieth of the hours that need most: {}.",
        shares(cover, &layers, cover.need_kw.len()),
        shares(cover, &layers, hardest)
    );
    let key = layers
        .iter()
        .filter(|(_, _, kw)| kw.iter().any(|kw| *kw > 1e-6))
        .map(|(name, pen, _)| Key::fill(*pen, name.clone()))
        .collect();
    let chart = Covered {
        label: label(
            "covered",
            format!("What covers the sorted heat need: {}", quoted(&option.name)),
            sentence,
        ),
        hours_per_step: cover.hours_per_step,
        layers: layers.into_iter().map(|(_, pen, kw)| (pen, kw)).collect(),
    };
    figure(&chart, &chart.label, key).map(Some)
}

/// What each layer gives of the need of so many first steps: `recovered from condensers 17 % and heaters 83 %`.
/// What rounds to nothing is left out.
fn shares(cover: &SortedCover, layers: &[(String, Pen, Vec<f64>)], steps: usize) -> String {
    let need: f64 = cover.need_kw[..steps].iter().sum();
    let said: Vec<String> = layers
        .iter()
        .map(|(name, _, kw)| (name, kw[..steps].iter().sum::<f64>()))
        .filter(|(_, kw)| *kw > 0.0005 * need)
        .map(|(name, kw)| format!("{name} {}", percent(kw / need * 100.0)))
        .collect();
    listed(&said)
}

/// Recovered heat, then each source, then what was lacking; sources past the fourth are taken together.
fn layers(cover: &SortedCover, names: &[&str]) -> Vec<(String, Pen, Vec<f64>)> {
    const PENS: [Pen; 4] = [Pen::Fill2, Pen::Fill4, Pen::Fill1, Pen::Fill5];
    let recovered = cover.recovered_kw.clone();
    let mut all = vec![("recovered from condensers".to_owned(), Pen::Fill3, recovered)];
    for (place, (name, kw)) in names.iter().zip(&cover.sources_kw).enumerate() {
        match (PENS.get(place), all.last_mut()) {
            (None, Some((last, _, sum))) => {
                *last = format!("{} further sources", names.len() - PENS.len() + 1);
                for (sum, more) in sum.iter_mut().zip(kw) {
                    *sum += more;
                }
            }
            (pen, _) => all.push(((*name).to_owned(), *pen.unwrap_or(&Pen::Fill5), kw.clone())),
        }
    }
    all.push(("not met".to_owned(), Pen::Lack, cover.short_kw.clone()));
    all
}
