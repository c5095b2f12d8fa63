//! What a log leaves in doubt.

use std::fmt;

/// Which sample of which log, both counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The log.
    pub log: usize,
    /// The sample in it.
    pub sample: usize,
}

/// Something that the samples cannot tell, or that does not fit. Its text is a sentence with a cure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Doubt {
    /// Few samples are left over when the constants have taken theirs.
    FewSamples {
        /// Samples less constants sought.
        over: usize,
    },
    /// The air was nearly always of one temperature: the activation energy is the one given.
    OneTemperature {
        /// Coldest to hottest, K.
        spread_k: f64,
    },
    /// The air was of several temperatures, and yet its activation energy cannot be told: it is the one given.
    ActivationNotTold,
    /// The temperature changed within one log alone, where it also changes with the nuts' moisture.
    ActivationFromOneLog,
    /// How much water the nuts hold cannot be told beside the rate: the isotherm is the one given.
    IsothermNotTold,
    /// The rate is known only to within a factor.
    WideRate {
        /// High end of the interval over its low end, square root.
        factor: f64,
    },
    /// The nuts lost little beside the scatter of the samples.
    LittleDrying {
        /// From the first to the last sample as fitted, points w.b.
        points: f64,
    },
    /// A sample is wetter than the one before.
    Rises {
        /// Which.
        place: Place,
        /// By how much, points w.b.
        points: f64,
    },
    /// A sample is drier than nuts can get in the air of its time.
    BelowEquilibrium {
        /// Which.
        place: Place,
        /// By how much, points w.b.
        points: f64,
    },
    /// Misses go in runs rather than at random.
    Runs {
        /// Correlation of a miss with the next one.
        correlation: f64,
    },
}

impl Doubt {
    /// The sample it is about, where it is about one.
    pub fn place(&self) -> Option<Place> {
        match self {
            Self::Rises { place, .. } | Self::BelowEquilibrium { place, .. } => Some(*place),
            _ => None,
        }
    }
}

impl fmt::Display for Doubt {
    fn fmt(&self, text: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::FewSamples { over } => write!(
                text,
                "only {over} more samples than constants sought: the intervals lean on very little; take ten or more \
                 samples a batch"
            ),
            Self::OneTemperature { spread_k } => write!(
                text,
                "the air changed by {spread_k:.1} K, too little to show how the rate depends on temperature: the activation \
                 energy is kept; add a log at another temperature, 5 K or more away"
            ),
            Self::ActivationNotTold => write!(
                text,
                "the logs do not tell the activation energy to within 25 kJ/mol, so it is kept; add logs at \
                 temperatures farther apart, or with more samples"
            ),
            Self::ActivationFromOneLog => write!(
                text,
                "the activation energy comes from one batch, whose temperature changed while its nuts dried: it also \
                 takes up what the drying law misses; confirm it with a batch at another temperature"
            ),
            Self::IsothermNotTold => write!(
                text,
                "the samples do not come close enough to the equilibrium to tell how much water the nuts hold, so the \
                 isotherm is kept; dry on until the moisture hardly changes"
            ),
            Self::WideRate { factor } => write!(
                text,
                "the rate is known only to within a factor of {factor:.1}: in a bed with little air the air sets the \
                 pace, not the nuts; a thin layer, more air or more samples would tell it better"
            ),
            Self::LittleDrying { points } => write!(
                text,
                "the nuts lost only {points:.1} points, little beside the scatter of the samples; log a whole batch"
            ),
            Self::Rises { points, .. } => write!(
                text,
                "moisture rises by {points:.1} points on the sample before; nuts do not get wetter in drying air: \
                 check the sample, its place in the bed and its time"
            ),
            Self::BelowEquilibrium { points, .. } => write!(
                text,
                "moisture is {points:.1} points below what the nuts can reach in this air by the isotherm in use; \
                 check the humidity of the air, or have the fit seek how much water these nuts hold"
            ),
            Self::Runs { correlation } => write!(
                text,
                "misses follow each other (correlation {correlation:.2}): the law, the air or the bed does not \
                 describe this batch fully, and the intervals are too narrow"
            ),
        }
    }
}
