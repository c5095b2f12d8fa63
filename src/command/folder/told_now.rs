//! Words with quantities, as the reader has them who listens.

use crate::number::{Measure, Reader, telling};
use crate::problem::Said;

/// As they are told here and now; nothing where that is as files hold them.
pub(super) fn told_now(said: &Said) -> Option<String> {
    telling(|| {
        let is_plain = Reader::now() == Reader::default();
        (!is_plain).then(|| {
            said.told(|quantity| {
                let measure = Measure::of(quantity.unit);
                match quantity.decimals {
                    Some(decimals) => measure.fixed(quantity.si, decimals),
                    None => measure.plain_figure(quantity.si),
                }
            })
        })
    })
}
