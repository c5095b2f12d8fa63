//! What met a need, layer on layer: recovered heat, then each source, then what was lacking.

use crate::page::chart::Pen;

/// Sources that are told apart; those past them are taken together.
const MOST: usize = 4;

/// A source as a layer: its name, the colour of its carrier, and what it gave.
pub(super) type SourceLayer<'a> = (&'a str, Pen, &'a Vec<f64>);

/// Names, pens and values, from the base up; sources past the fourth are taken together. A colour that a source below
/// has already is drawn pale.
pub(super) fn layers<'a>(
    recovered: &[f64],
    sources: impl ExactSizeIterator<Item = SourceLayer<'a>>,
    short: &[f64],
) -> Vec<(String, Pen, Vec<f64>)> {
    let count = sources.len();
    let mut all = vec![("recovered from condensers".to_owned(), Pen::Fill3, recovered.to_vec())];
    for (place, (name, pen, values)) in sources.enumerate() {
        if let (false, Some((last, _, sum))) = (place < MOST, all.last_mut()) {
            *last = format!("{} further sources", count - MOST + 1);
            for (sum, more) in sum.iter_mut().zip(values) {
                *sum += more;
            }
        } else {
            let pens = [pen, pen.pale(), Pen::Fill5];
            let free = pens.into_iter().find(|pen| all.iter().all(|(_, used, _)| used != pen));
            all.push((name.to_owned(), free.unwrap_or(Pen::Fill5), values.clone()));
        }
    }
    all.push(("not met".to_owned(), Pen::Lack, short.to_vec()));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sources_past_the_fourth_are_one_layer() {
        let heat = vec![1.0, 2.0];
        let sources = ["a", "b", "c", "d", "e", "f"].map(|name| (name, Pen::Fill1, &heat));
        let all = layers(&[0.0, 0.0], sources.into_iter(), &[0.5, 0.0]);
        let names: Vec<&str> = all.iter().map(|layer| layer.0.as_str()).collect();
        assert_eq!(names, ["recovered from condensers", "a", "b", "c", "3 further sources", "not met"]);
        assert_eq!(all[4].2, [3.0, 6.0]);
        assert_eq!((all[1].1, all[2].1), (Pen::Fill1, Pen::Pale1));
    }
}
