//! The colours of what is drawn, one for each thing, in the page as in the workbook. The page's style sheet has them by
//! these names for light paper, and others of the same names for the dark.

/// A fill of charts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fill {
    /// `--c1`.
    Blue,
    /// `--c2`.
    Brick,
    /// `--c3`.
    Green,
    /// `--c4`.
    Ochre,
    /// `--c5`.
    Pale,
    /// `--c6`.
    Slate,
    /// `--c7`.
    Olive,
    /// `--accent`.
    Accent,
    /// `--quiet`.
    Quiet,
    /// `--band`.
    Band,
}

/// Electricity.
pub(crate) const ELECTRICITY: Fill = Fill::Blue;
/// Fuels in their order.
const FUELS: [Fill; 3] = [Fill::Ochre, Fill::Brick, Fill::Olive];
/// Demand and fixed charges and tax.
pub(crate) const CHARGES: Fill = Fill::Slate;
/// Owning.
pub(crate) const OWNING: Fill = Fill::Pale;

/// The colour of the fuel at this place among those that any option pays for; one more than there are colours shares the
/// last, and so does one that costs nothing.
pub(crate) fn of_fuel(place: Option<usize>) -> Fill {
    let last = FUELS.len() - 1;
    FUELS[place.map_or(last, |place| place.min(last))]
}

impl Fill {
    /// Red, green and blue on light paper.
    pub(crate) const fn rgb(self) -> u32 {
        match self {
            Self::Blue => 0x0024_476F,
            Self::Brick => 0x00A8_482F,
            Self::Green => 0x004F_9A8B,
            Self::Ochre => 0x00DF_A83F,
            Self::Pale => 0x00DC_E3E6,
            Self::Slate => 0x007B_8EA6,
            Self::Olive => 0x006F_7A2E,
            Self::Accent => 0x008A_2F6B,
            Self::Quiet => 0x0056_606B,
            Self::Band => 0x00C3_D3E2,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_style_sheet_has_these_colours() {
        let sheet = include_str!("../templates/base.css");
        for (name, fill) in [
            ("c1", Fill::Blue),
            ("c2", Fill::Brick),
            ("c3", Fill::Green),
            ("c4", Fill::Ochre),
            ("c5", Fill::Pale),
            ("c6", Fill::Slate),
            ("c7", Fill::Olive),
            ("accent", Fill::Accent),
            ("quiet", Fill::Quiet),
            ("band", Fill::Band),
        ] {
            let line = format!("--{name}: #{:06x};", fill.rgb());
            assert!(sheet.contains(&line), "{line}");
        }
    }

    #[test]
    fn no_two_of_the_first_fuels_share_a_colour() {
        let first = [of_fuel(Some(0)), of_fuel(Some(1)), of_fuel(Some(2))];
        assert_eq!(first, FUELS);
        assert!(!first.contains(&ELECTRICITY) && first[0] != first[1] && first[1] != first[2] && first[0] != first[2]);
        assert_eq!((of_fuel(Some(7)), of_fuel(None)), (FUELS[2], FUELS[2]));
    }
}
