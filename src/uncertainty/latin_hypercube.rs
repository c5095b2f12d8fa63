//! Draws that fill the range of every input evenly.

use super::pairing::uncorrelated;
use crate::chance::Chance;

/// Latin hypercube (McKay, Beckman & Conover 1979, Technometrics 21:239-245): for each input 0..1 is cut
/// into as many strata as there are draws, each stratum is hit once, anywhere in it, and the strata of
/// different inputs are paired so that no two inputs are correlated. Draws outside, inputs inside.
pub(crate) fn latin_hypercube(draws: usize, inputs: usize, seed: u64) -> Vec<Vec<f64>> {
    let mut chance = Chance::new(seed);
    let (mut shuffled, mut places) = (Vec::with_capacity(inputs), Vec::with_capacity(inputs));
    for _ in 0..inputs {
        let mut strata: Vec<usize> = (0..draws).collect();
        // Fisher and Yates' shuffle, from the last place down.
        for place in (1..draws).rev() {
            strata.swap(place, chance.below(place + 1));
        }
        // Where in its stratum each value lies.
        let mut place = vec![0.0; draws];
        for &stratum in &strata {
            place[stratum] = chance.uniform();
        }
        shuffled.push(strata);
        places.push(place);
    }
    let strata = uncorrelated(shuffled);
    (0..draws)
        .map(|draw| {
            let each = strata.iter().zip(&places);
            each.map(|(strata, place)| (strata[draw] as f64 + place[strata[draw]]) / draws as f64).collect()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn each_stratum_of_each_input_is_hit_once(
            draws in 1_usize..80, inputs in 1_usize..6, seed in any::<u64>(),
        ) {
            let shares = latin_hypercube(draws, inputs, seed);
            for input in 0..inputs {
                let mut hit = vec![0; draws];
                for draw in &shares {
                    prop_assert!((0.0..1.0).contains(&draw[input]));
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                    let stratum = (draw[input] * draws as f64) as usize;
                    hit[stratum.min(draws - 1)] += 1;
                }
                prop_assert!(hit.iter().all(|times| *times == 1), "{hit:?}");
            }
        }
    }

    #[test]
    fn a_seed_gives_the_same_draws_and_another_seed_others() {
        assert_eq!(latin_hypercube(8, 3, 7), latin_hypercube(8, 3, 7));
        assert_ne!(latin_hypercube(8, 3, 7), latin_hypercube(8, 3, 8));
        assert!(latin_hypercube(0, 3, 7).is_empty());
    }
}
