//! The option that a plant of other sizes is, written as a person would write it, with its capital by the study's prices.

use super::may_size::{MaySize, SizedNumber, SizedOf};
use super::standing_measure::number;
use crate::printable::toml_text;
use std::fmt::Write;

/// What of an option's capital is for one number.
struct Works {
    words: String,
    money: f64,
}

impl MaySize {
    /// What is to stand behind the study's text to try these sizes, under a name that no person gives. `at` holds the
    /// place of each number's size.
    pub(crate) fn trial(&self, at: &[usize]) -> String {
        self.block("tried: sized by money", at).0
    }

    /// The option to be written into the study, with what its capital is made of.
    pub(crate) fn option(&self, at: &[usize]) -> String {
        let wanted = format!("{}, sized", self.on);
        let others = (2..=self.taken.len() + 1).map(|time| format!("{wanted} {time}"));
        let is_free = |name: &String| !self.taken.contains(name);
        let name = std::iter::once(wanted.clone()).chain(others).find(is_free).unwrap_or(wanted);
        let (mut text, made) = self.block(&name, at);
        for works in made {
            let _ = writeln!(text, "# {:.0} of the capital: {}", works.money, works.words);
        }
        for (number, &place) in self.numbers.iter().zip(at).filter(|(number, _)| number.of == SizedOf::Source) {
            let kw = number.sizes[place];
            let _ = writeln!(
                text,
                "# {}: {} kW at {} each, which its [[source]] counts itself",
                toml_text(&number.name),
                number_text(kw),
                number_text(number.price)
            );
        }
        text
    }

    fn block(&self, name: &str, at: &[usize]) -> (String, Vec<Works>) {
        let mut text = format!("[[option]]\nname = {}\nincludes = [{}]\n", toml_text(name), toml_text(&self.on));
        let mut set: Vec<String> = Vec::new();
        for (sized, &place) in self.numbers.iter().zip(at) {
            if place == sized.now {
                continue;
            }
            let size = sized.sizes[place];
            let value = if sized.of == SizedOf::Bins { number_text(size) } else { number(size) };
            set.push(format!("{} = {value}", toml_text(&sized.path)));
            let times = size / sized.as_it_stands();
            let along =
                sized.grow_along.iter().map(|(path, own)| format!("{} = {}", toml_text(path), number(own * times)));
            set.extend(along);
        }
        if !set.is_empty() {
            let _ = writeln!(text, "set = {{ {} }}", set.join(", "));
        }
        let made: Vec<Works> = self.works(at);
        if !made.is_empty() {
            // To the hundredth, as money is written.
            let capital = (made.iter().map(|works| works.money).sum::<f64>() * 100.0).round() / 100.0;
            let _ = writeln!(text, "capital = {}\nlife_years = {}", number(capital), number(self.life_years));
        }
        if !self.grant {
            text.push_str("grant = false\n");
        }
        (text, made)
    }

    /// What is bought or spared besides sources.
    fn works(&self, at: &[usize]) -> Vec<Works> {
        let mut all = Vec::new();
        for (sized, &place) in self.numbers.iter().zip(at) {
            let (now, size) = (sized.as_it_stands(), sized.sizes[place]);
            let (more, unit) = match sized.of {
                // Priced by the source itself.
                SizedOf::Source => continue,
                SizedOf::Bins => (size - now, "bins"),
                SizedOf::Air => ((size - now) * self.tonnes(sized, at), "m³/s through the bins"),
                SizedOf::FreshAir => (size - now, "m³/s of fresh air"),
                // What layers hold back adds up: the resistance of the envelope grows with their thickness, and their
                // price with it. Halving adds once what stands.
                SizedOf::Envelope => (now / size - 1.0, "times what halves the loss through the envelope"),
            };
            let spares_nothing = more < 0.0 && self.is_installed;
            if more == 0.0 || spares_nothing {
                continue;
            }
            let way = match sized.of {
                SizedOf::Envelope => "",
                SizedOf::Source | SizedOf::Bins | SizedOf::Air | SizedOf::FreshAir if more < 0.0 => " less",
                SizedOf::Source | SizedOf::Bins | SizedOf::Air | SizedOf::FreshAir => " more",
            };
            let (name, count, price) = (toml_text(&sized.name), number_text(more.abs()), number_text(sized.price));
            let words = format!("{name}: {count} {unit}{way} at {price}");
            all.push(Works { words, money: more * sized.price });
        }
        all
    }

    /// What all bins of the room of this number hold with these sizes, t.
    fn tonnes(&self, air: &SizedNumber, at: &[usize]) -> f64 {
        let (last_t, all_t) = air.bins_t;
        let bins = self.numbers.iter().zip(at).find(|(other, _)| other.of == SizedOf::Bins && other.name == air.name);
        bins.map_or(all_t, |(bins, &place)| all_t + (bins.sizes[place] - bins.as_it_stands()) * last_t)
    }
}

/// The shortest way to write a number of few decimals.
fn number_text(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sized(of: SizedOf, sizes: &[f64], now: usize, price: f64, path: &str) -> SizedNumber {
        SizedNumber {
            of,
            name: "a \"room\"".to_owned(),
            sizes: sizes.to_vec(),
            now,
            price,
            grow_along: Vec::new(),
            path: path.to_owned(),
            bins_t: (4.0, 12.0),
        }
    }

    /// Three bins of 4 t, 0.1 m³/s per t, 5 m³/s of fresh air, 800 W/K, and an exchanger of 60 kW.
    fn plant(is_installed: bool) -> MaySize {
        let mut exchanger = sized(SizedOf::Source, &[60.0, 90.0], 0, 300.0, "source.x.capacity_kw");
        exchanger.grow_along = vec![("source.x.ua_w_per_k".to_owned(), 2000.0)];
        MaySize {
            on: "electric".to_owned(),
            numbers: vec![
                exchanger,
                sized(SizedOf::Bins, &[2.0, 3.0, 4.0], 1, 1000.0, "room.r.bins.1.count"),
                sized(SizedOf::Air, &[0.1, 0.2], 0, 500.0, "room.r.airflow_m3_per_s_per_tonne"),
                sized(SizedOf::FreshAir, &[3.0, 5.0], 1, 200.0, "room.r.fresh_air_max_m3_per_s"),
                sized(SizedOf::Envelope, &[200.0, 400.0, 800.0], 2, 700.0, "room.r.envelope_ua_w_per_k"),
            ],
            not_sized: Vec::new(),
            is_installed,
            life_years: 20.0,
            grant: false,
            taken: vec!["electric".to_owned(), "electric, sized".to_owned()],
        }
    }

    fn money(plant: &MaySize, at: [usize; 5]) -> Vec<f64> {
        plant.works(&at).iter().map(|works| works.money).collect()
    }

    #[test]
    fn what_is_more_costs_and_what_is_less_spares_where_nothing_stands_yet() {
        let to_build = plant(false);
        assert_eq!(money(&to_build, [0, 1, 0, 1, 2]), [0.0; 0]);
        assert_eq!(money(&to_build, [0, 2, 0, 0, 2]), [1000.0, -400.0]);
        assert_eq!(money(&to_build, [0, 0, 0, 1, 2]), [-1000.0]);
        let stands = plant(true);
        assert_eq!(money(&stands, [0, 0, 0, 0, 2]), [0.0; 0]);
        assert_eq!(money(&stands, [0, 2, 0, 0, 2]), [1000.0]);
    }

    #[test]
    fn more_air_is_of_all_bins_that_the_room_then_has() {
        assert_eq!(money(&plant(false), [0, 1, 1, 1, 2]), [0.1 * 12.0 * 500.0]);
        assert_eq!(money(&plant(false), [0, 2, 1, 1, 2]), [1000.0, 0.1 * 16.0 * 500.0]);
    }

    /// Resistances in a row add up, so that each halving takes twice the layers of the one before.
    #[test]
    fn a_quarter_of_the_loss_costs_three_times_what_half_does() {
        assert_eq!(money(&plant(true), [0, 1, 0, 1, 1]), [700.0]);
        assert_eq!(money(&plant(true), [0, 1, 0, 1, 0]), [2100.0]);
    }

    #[test]
    fn the_option_says_what_differs_and_what_it_is_made_of() {
        let told = plant(false).option(&[1, 0, 0, 1, 1]);
        assert_eq!(
            told,
            "[[option]]\nname = \"electric, sized 2\"\nincludes = [\"electric\"]\n\
             set = { \"source.x.capacity_kw\" = 90.0, \"source.x.ua_w_per_k\" = 3000.0, \"room.r.bins.1.count\" = 2, \
             \"room.r.envelope_ua_w_per_k\" = 400.0 }\ncapital = -300.0\nlife_years = 20.0\ngrant = false\n\
             # -1000 of the capital: \"a \\\"room\\\"\": 1 bins less at 1000\n\
             # 700 of the capital: \"a \\\"room\\\"\": 1 times what halves the loss through the envelope at 700\n\
             # \"a \\\"room\\\"\": 90 kW at 300 each, which its [[source]] counts itself\n"
        );
        assert!(told.parse::<toml::Table>().is_ok());
        let trial = plant(false).trial(&[0, 1, 0, 1, 2]);
        assert_eq!(trial, "[[option]]\nname = \"tried: sized by money\"\nincludes = [\"electric\"]\ngrant = false\n");
    }
}
