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
    pub fn trial(&self, at: &[usize]) -> String {
        self.block("tried: sized by money", at).0
    }

    /// The option to be written into the study, with what its capital is made of.
    pub fn option(&self, at: &[usize]) -> String {
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
                "# \"{}\": {} kW at {} each, which its [[source]] counts itself",
                number.name,
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
            let (sign, count) = if more < 0.0 { ("less", -more) } else { ("more", more) };
            let sign = if sized.of == SizedOf::Envelope { "" } else { sign };
            let words =
                format!("\"{}\": {} {sign} {unit} at {}", sized.name, number_text(count), number_text(sized.price));
            all.push(Works { words: words.replace("  ", " "), money: more * sized.price });
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
