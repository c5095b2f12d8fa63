//! Rooms in a row: how batches come in, go from room to room, and leave.

use super::rooms_read::{Practice, RoomsRead, smallest_t};
use crate::crop::{HOURS_ON_WOOD, water};
use crate::dryer::{BinSpec, RoomSpec};
use crate::season::HandOver;
use crate::study::crops_read::CropRead;
use crate::study::cursor::Cursor;

/// Keys of the room that nuts come into.
const KEYS_OF_FIRST: [&str; 4] = ["fill_within_hours", "least_load_t", "fill_over_days", "mould_hours"];
/// Keys of the room that they leave from.
const KEYS_OF_LAST: [&str; 3] = ["cooling_hours", "foresee_cooling", "moisture_spread"];

impl Practice {
    /// Takes what this room says: the first about nuts that come, with its bins and the crops, the last about
    /// nuts that leave.
    pub(super) fn read(&mut self, room: &Cursor<'_>, first: Option<(Option<&[BinSpec]>, &[CropRead])>, is_last: bool) {
        match first {
            Some((bins, crops)) => self.read_first(room, bins.unwrap_or_default(), crops),
            None => refuse(room, &KEYS_OF_FIRST, "the first room"),
        }
        if is_last {
            self.read_last(room);
        } else {
            refuse(room, &KEYS_OF_LAST, "the last room");
        }
    }

    fn read_first(&mut self, room: &Cursor<'_>, bins: &[BinSpec], crops: &[CropRead]) {
        let waits = crops.iter().map(|crop| crop.crop.practice().safe_wait_hours);
        let longest_wait_h = waits.fold(1.0, f64::max);
        self.fill_within_hours =
            room.number("fill_within_hours").unit("h").within(1.0, 240.0).default(
                longest_wait_h.min(A_DAY_H),
                "assumption: nuts wait for a full bin a day, and never longer than the crop's safe_wait; not at all where no more come by then",
            );
        self.least_load_t =
            room.number("least_load_t").unit("t received").within(0.0, 1000.0).default(
                smallest_t(bins).unwrap_or(0.0) / 3.0,
                "assumption: a bin is not begun with less than a third of the smallest, unless its nuts can wait no longer or no more are to come",
            );
        self.fill_over_days = room
            .number("fill_over_days")
            .unit("d")
            .within(0.0, 30.0)
            .default(0.0, "a bin is filled once; with days, it dries what it has while more is put on top");
        self.mould_hours = room
            .number("mould_hours")
            .unit("h")
            .within(1.0, 2000.0)
            .default(
                HOURS_ON_WOOD,
                "hours to the first growth on saturated wood at 30 °C (Hukka & Viitanen 1999, read in public implementations): shells are likened to wood; all times of growth go with it",
            );
    }

    fn read_last(&mut self, room: &Cursor<'_>) {
        self.cooling_hours = room
            .number("cooling_hours")
            .unit("h")
            .within(0.0, 72.0)
            .default(4.0, "assumption: outside air after drying until the nuts are cool enough to store");
        self.foresees_cooling = room.yes_no("foresee_cooling").default(
            true,
            "drying ends when cooling will take the rest; false: it ends at the target, and cooling takes more",
        );
        self.spread_pct_points = room
            .number("moisture_spread")
            .unit("points w.b.")
            .within(0.1, 20.0)
            .default(3.0, "assumption: layers even out in the store, so the wettest may be this much above the target");
    }
}

/// A day, h.
const A_DAY_H: f64 = 24.0;

/// Keys that say nothing in this room.
fn refuse(room: &Cursor<'_>, keys: &[&str], where_they_belong: &str) {
    for key in keys {
        if room.kind(key).is_some() {
            room.claim(key);
            room.complain(
                key,
                "has no meaning in this room",
                &format!("it in {where_they_belong}"),
                &format!("move it to {where_they_belong} of the row"),
            );
        }
    }
}

/// The keys of a hand-over.
const HAND_OVER: [&str; 2] = ["transfer_at_moisture", "transfer_hours"];

/// What a room says of the room after it; `None` where there is none, or none could be read.
pub(super) fn read_hand_over(room: &Cursor<'_>, crops: &[CropRead], is_last: bool) -> Option<HandOver> {
    if is_last {
        for key in HAND_OVER {
            if room.kind(key).is_some() {
                room.claim(key);
                room.complain(
                    key,
                    "is given, but no room comes after this one",
                    "a further [[room]]",
                    "describe the room that the batches go to, or leave it out",
                );
            }
        }
        return None;
    }
    // A batch of every crop goes on between its received moisture and its target.
    let practices = || crops.iter().map(|crop| crop.crop.practice());
    let dried = practices().map(|practice| practice.dried_moisture);
    let received = practices().map(|practice| practice.received_moisture);
    let dried_pct = water::percent_of_dry_basis(dried.fold(0.0, f64::max));
    let received_pct = water::percent_of_dry_basis(received.fold(f64::INFINITY, f64::min));
    let at = room
        .number("transfer_at_moisture")
        .unit("% w.b.")
        .when(&format!("between {dried_pct:.1}, the target, and {received_pct:.1}, as received"), |pct| {
            *pct > dried_pct && *pct < received_pct
        })
        .hint("give the batch's mean moisture at which it goes to the next room")
        .required();
    let hours = room
        .number("transfer_hours")
        .unit("h")
        .within(0.0, 72.0)
        .default(2.0, "assumption: emptying one bin and filling the next, without air");
    Some(HandOver { at_moisture: water::dry_basis_of_percent(at?), hours })
}

/// Every bin must find one in the next room that holds its batch.
pub(super) fn check_bins(cursors: &[Cursor<'_>], rooms: &RoomsRead) {
    let largest_t = |room: &RoomSpec| room.bins.iter().map(|bin| bin.capacity_t).fold(0.0, f64::max);
    for (pair, cursor) in rooms.all.windows(2).zip(&cursors[1..]) {
        let (before_t, here_t) = (largest_t(&pair[0]), largest_t(&pair[1]));
        if here_t < before_t {
            cursor.complain(
                "bins",
                &format!("hold at most {here_t} t, but a batch of \"{}\" may be {before_t} t", pair[0].name),
                "a bin that holds a whole batch, by its mass as received",
                "give a bin of this room as many tonnes as the largest of the room before",
            );
        }
    }
}
