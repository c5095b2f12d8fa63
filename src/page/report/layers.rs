//! What met a need, layer on layer: recovered heat, then each source, then what was lacking.

use crate::page::chart::Pen;

/// Pens of the sources.
const PENS: [Pen; 4] = [Pen::Fill2, Pen::Fill4, Pen::Fill1, Pen::Fill5];

/// Names, pens and values, from the base up; sources past the fourth are taken together.
pub(super) fn layers<'a>(
    recovered: &[f64],
    sources: impl ExactSizeIterator<Item = (&'a str, &'a Vec<f64>)>,
    short: &[f64],
) -> Vec<(String, Pen, Vec<f64>)> {
    let count = sources.len();
    let mut all = vec![("recovered from condensers".to_owned(), Pen::Fill3, recovered.to_vec())];
    for (place, (name, values)) in sources.enumerate() {
        match (PENS.get(place), all.last_mut()) {
            (None, Some((last, _, sum))) => {
                *last = format!("{} further sources", count - PENS.len() + 1);
                for (sum, more) in sum.iter_mut().zip(values) {
                    *sum += more;
                }
            }
            (pen, _) => all.push((name.to_owned(), *pen.unwrap_or(&Pen::Fill5), values.clone())),
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
        let sources = ["a", "b", "c", "d", "e", "f"].map(|name| (name, &heat));
        let all = layers(&[0.0, 0.0], sources.into_iter(), &[0.5, 0.0]);
        let names: Vec<&str> = all.iter().map(|layer| layer.0.as_str()).collect();
        assert_eq!(names, ["recovered from condensers", "a", "b", "c", "3 further sources", "not met"]);
        assert_eq!(all[4].2, [3.0, 6.0]);
    }
}
