//! The course of a season's nuts, written down as one option takes it, so that others can follow it.
//!
//! Where an option would answer every question of a path so that nothing goes another way, its season is that path,
//! bit for bit, and is not gone through anew.

use super::course::{Course, Dried, RoomStep};
use super::drying::{Drying, Mark};
use super::hour_sum::Waiting;
use super::plant::{Heating, Plant};
use crate::air::MoistAir;
use crate::cool_store::Arrival;
use crate::dryer::{AirPath, Ask, RoomHour, Supply};
use crate::weather::Hour;
use chrono::NaiveDateTime;
use std::cell::{Cell, RefCell};
use std::convert::Infallible;

/// A path is marked at this many hours: so much of it is lived through anew, at most, by an option that leaves it.
const HOURS_BETWEEN_MARKS: usize = 7 * 24;

/// True if nothing that this option has changes the air but by the heat it gives: what it does on a path can be
/// told from its answers alone.
pub(super) fn may_follow(plant: &Plant, heating: &Heating) -> bool {
    let once_through = plant.rooms().any(|room| room.air == AirPath::OnceThrough);
    heating.sources.iter().all(|source| {
        // A room that air passes once is tried anew for a source that draws on what leaves it.
        let draws_on_exhaust = once_through && source.kind.says().uses_exhaust();
        !source.moves_water() && !draws_on_exhaust
    })
}

/// What a room does in an hour in which nothing dries or cools in it.
fn idle(outside: &MoistAir) -> RoomHour {
    RoomHour { air_c: outside.dry_bulb_c(), relative_humidity: outside.relative_humidity(), ..RoomHour::default() }
}

/// A drying path: what rooms and nuts did in a season, and what they asked of the heat on the way.
#[derive(Debug)]
pub(super) struct Path {
    hours: Vec<PathHour>,
    /// What left for the store, in the order of the hours.
    arrivals: Vec<Arrival>,
    /// Rooms of the first hour in which any is in use, then of the next.
    rooms: Vec<RoomHour>,
    /// Rooms of the first step of these hours, then of the next.
    steps: Vec<PathStep>,
    /// Questions of the first step of the first room, then of the next.
    questions: Vec<Question>,
    dried: Dried,
    /// Where others can leave it, in the order of the hours.
    marks: Vec<PathMark>,
}

/// A place at the beginning of an hour at which a path can be left.
#[derive(Clone, Debug)]
struct PathMark {
    stands: Mark,
    /// How much of the path lies before.
    hours: usize,
    arrivals: usize,
    rooms: usize,
    steps: usize,
    questions: usize,
}

#[derive(Clone, Copy, Debug)]
struct PathHour {
    /// Whether the season was over before it.
    is_over: bool,
    waiting: Waiting,
    /// Of [`Path::arrivals`], those of this hour.
    arrivals: usize,
    bins_cooling: u32,
    /// True if nothing dries or cools in any room: such hours are many, and need not be kept.
    is_idle: bool,
}

/// An hour after the last of a path: its nuts are dry and gone, though a store may still be in use.
const OVER: PathHour = PathHour {
    is_over: true,
    waiting: Waiting { all_t: 0.0, for_bin_t: 0.0 },
    arrivals: 0,
    bins_cooling: 0,
    is_idle: true,
};

#[derive(Clone, Copy, Debug, PartialEq)]
struct PathStep {
    hottest_set_c: Option<f64>,
    room: RoomStep,
    /// Of [`Path::questions`], those of this step.
    questions: usize,
}

/// What a room asked of the heat, and what it was told.
#[derive(Clone, Copy, Debug)]
struct Question {
    ask: Ask,
    told: Told,
    /// True if the answer was searched with: only the same answer leads the same way.
    is_searched_with: bool,
}

/// An answer, kW.
#[derive(Clone, Copy, Debug)]
enum Told {
    /// The heat that is released whether wanted or not.
    Unasked(f64),
    /// The most that can be had.
    Most(f64),
}

impl Path {
    /// Hours of rooms that it holds: what it takes to keep, about 0.8 kB each.
    pub(super) fn room_hours(&self) -> usize {
        self.rooms.len()
    }

    /// True if nuts were still wet when time or weather ended: then the hour of that end is part of it, which a store
    /// in use puts off.
    pub(super) fn leaves_nuts(&self) -> bool {
        self.dried.tonnage.left_kg > 0.0
    }

    /// The last mark up to this hour that is not its beginning.
    fn mark_before(&self, hour: usize) -> Option<&PathMark> {
        self.marks.iter().rev().find(|mark| mark.hours > 0 && mark.hours <= hour)
    }

    /// As much of it as lies before a mark.
    fn up_to(&self, mark: &PathMark) -> Self {
        Self {
            hours: self.hours[..mark.hours].to_vec(),
            arrivals: self.arrivals[..mark.arrivals].to_vec(),
            rooms: self.rooms[..mark.rooms].to_vec(),
            steps: self.steps[..mark.steps].to_vec(),
            questions: self.questions[..mark.questions].to_vec(),
            dried: Dried::default(),
            marks: self.marks.iter().filter(|other| other.hours < mark.hours).cloned().collect(),
        }
    }
}

impl Question {
    /// True if this supply's answer leads the same way. A room goes another way only where unasked heat is
    /// more than it lacks, or the most that can be had is less.
    fn leads_as_before(&self, supply: &dyn Supply) -> bool {
        let need_kw = self.ask.need_kw;
        match self.told {
            Told::Unasked(told_kw) => {
                let kw = supply.unasked_kw(&self.ask);
                kw == told_kw || (!self.is_searched_with && kw <= need_kw)
            }
            Told::Most(told_kw) => {
                let kw = supply.most_kw(&self.ask);
                kw == told_kw || (!self.is_searched_with && kw >= need_kw)
            }
        }
    }
}

/// Writes down what a room asks of a supply.
struct Heard<'a> {
    supply: &'a dyn Supply,
    questions: RefCell<Vec<Question>>,
    /// True from the first answer on that a room searches with.
    searching: Cell<bool>,
}

impl Heard<'_> {
    fn note(&self, ask: &Ask, told: Told) {
        let goes_another_way = match told {
            Told::Unasked(kw) => kw > ask.need_kw,
            Told::Most(kw) => kw < ask.need_kw,
        };
        let is_searched_with = self.searching.get() || goes_another_way;
        self.searching.set(is_searched_with);
        self.questions.borrow_mut().push(Question { ask: *ask, told, is_searched_with });
    }
}

impl Supply for Heard<'_> {
    fn unasked_kw(&self, ask: &Ask) -> f64 {
        let kw = self.supply.unasked_kw(ask);
        self.note(ask, Told::Unasked(kw));
        kw
    }

    fn most_kw(&self, ask: &Ask) -> f64 {
        let kw = self.supply.most_kw(ask);
        self.note(ask, Told::Most(kw));
        kw
    }

    fn uses_exhaust(&self) -> bool {
        self.supply.uses_exhaust()
    }

    fn goes_by_need(&self) -> bool {
        self.supply.goes_by_need()
    }

    fn moves_water(&self) -> bool {
        self.supply.moves_water()
    }

    fn water_kg_per_s(&self, heat_kw: f64, ask: &Ask) -> f64 {
        self.supply.water_kg_per_s(heat_kw, ask)
    }
}

/// A season lived through and written down.
pub(super) struct Recorded<'a> {
    drying: Drying<'a>,
    path: Path,
    hottest_set_c: Option<f64>,
    /// Of the hour under way: what an idle room does in it, and how many steps were kept before it.
    idle: RoomHour,
    steps_before: usize,
}

impl<'a> Recorded<'a> {
    /// Before the first hour.
    pub(super) fn new(drying: Drying<'a>) -> Self {
        Self {
            path: Path {
                hours: Vec::new(),
                arrivals: Vec::new(),
                rooms: Vec::new(),
                steps: Vec::new(),
                questions: Vec::new(),
                dried: Dried::default(),
                marks: Vec::new(),
            },
            drying,
            hottest_set_c: None,
            idle: RoomHour::default(),
            steps_before: 0,
        }
    }

    /// At the last mark of a path up to this hour, with `drying` before its first hour; `None` where there is none.
    pub(super) fn from_path(path: &Path, hour: usize, drying: Drying<'a>) -> Option<(usize, Self)> {
        let mark = path.mark_before(hour)?;
        let recorded = Self { path: path.up_to(mark), ..Self::new(drying.at_mark(&mark.stands)) };
        Some((mark.hours, recorded))
    }

    fn set_mark(&mut self) {
        let path = &self.path;
        let mark = PathMark {
            stands: self.drying.mark(),
            hours: path.hours.len(),
            arrivals: path.arrivals.len(),
            rooms: path.rooms.len(),
            steps: path.steps.len(),
            questions: path.questions.len(),
        };
        self.path.marks.push(mark);
    }

    /// The path of the season that has been closed.
    pub(super) fn into_path(self) -> Path {
        self.path
    }
}

impl Course for Recorded<'_> {
    type Astray = Infallible;

    fn is_over(&self, at: usize) -> bool {
        self.drying.is_over(at)
    }

    fn begin_hour(&mut self, at: usize, hour: &Hour) -> Result<(Waiting, &[Arrival]), Infallible> {
        if at.is_multiple_of(HOURS_BETWEEN_MARKS) {
            self.set_mark();
        }
        let is_over = self.drying.is_over(at);
        let Ok((waiting, leaving)) = self.drying.begin_hour(at, hour);
        let arrivals = leaving.len();
        self.path.arrivals.extend_from_slice(leaving);
        let hour_of_path = PathHour { is_over, waiting, arrivals, bins_cooling: 0, is_idle: false };
        self.path.hours.push(hour_of_path);
        self.idle = idle(&hour.air);
        self.steps_before = self.path.steps.len();
        Ok((waiting, leaving))
    }

    fn hottest_set_c(&mut self, place: usize, starts: NaiveDateTime) -> Option<f64> {
        self.hottest_set_c = self.drying.hottest_set_c(place, starts);
        self.hottest_set_c
    }

    fn step_room(
        &mut self,
        place: usize,
        now: (usize, &Hour),
        supply: &dyn Supply,
        hours: f64,
    ) -> Result<RoomStep, Infallible> {
        let heard = Heard {
            supply,
            questions: RefCell::new(std::mem::take(&mut self.path.questions)),
            searching: Cell::new(false),
        };
        let before = heard.questions.borrow().len();
        let Ok(room) = self.drying.step_room(place, now, &heard, hours);
        self.path.questions = heard.questions.into_inner();
        let questions = self.path.questions.len() - before;
        self.path.steps.push(PathStep { hottest_set_c: self.hottest_set_c, room, questions });
        Ok(room)
    }

    fn end_step(&mut self, from: f64) {
        self.drying.end_step(from);
    }

    fn end_hour(&mut self) -> (&[RoomHour], u32) {
        let (rooms, bins_cooling) = self.drying.end_hour();
        let idle_step = PathStep { hottest_set_c: None, room: RoomStep::of(&self.idle), questions: 0 };
        let steps = &self.path.steps[self.steps_before..];
        let is_idle = rooms.iter().all(|room| *room == self.idle) && steps.iter().all(|step| *step == idle_step);
        if is_idle {
            self.path.steps.truncate(self.steps_before);
        } else {
            self.path.rooms.extend_from_slice(rooms);
        }
        if let Some(hour) = self.path.hours.last_mut() {
            (hour.bins_cooling, hour.is_idle) = (bins_cooling, is_idle);
        }
        (rooms, bins_cooling)
    }

    fn close(&mut self, hours: usize) -> Dried {
        let dried = self.drying.close(hours);
        self.path.dried = dried.clone();
        dried
    }
}

/// In this hour of the season a path goes another way than this option's heat would let it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct AnotherWay {
    pub from_hour: usize,
}

/// A path gone along again by another option's heat.
pub(super) struct Followed<'a> {
    path: &'a Path,
    at: usize,
    hour: Option<&'a PathHour>,
    /// What each room of the plant does in an idle hour.
    idle: Vec<RoomHour>,
    room: usize,
    step: usize,
    arrival: usize,
    question: usize,
}

impl<'a> Followed<'a> {
    /// Before the first hour, in a plant of so many rooms.
    pub(super) fn new(path: &'a Path, rooms: usize) -> Self {
        let idle = vec![RoomHour::default(); rooms];
        Self { path, at: 0, hour: None, idle, room: 0, step: 0, arrival: 0, question: 0 }
    }

    fn another_way(&self) -> AnotherWay {
        AnotherWay { from_hour: self.at }
    }

    fn is_idle(&self) -> bool {
        self.hour.is_none_or(|hour| hour.is_idle)
    }
}

impl Course for Followed<'_> {
    type Astray = AnotherWay;

    fn is_over(&self, at: usize) -> bool {
        self.path.hours.get(at).is_none_or(|hour| hour.is_over)
    }

    fn begin_hour(&mut self, at: usize, hour: &Hour) -> Result<(Waiting, &[Arrival]), AnotherWay> {
        self.at = at;
        let of_path = self.path.hours.get(at).unwrap_or(&OVER);
        self.hour = Some(of_path);
        if of_path.is_idle {
            self.idle.fill(idle(&hour.air));
        }
        let from = self.arrival;
        self.arrival += of_path.arrivals;
        Ok((of_path.waiting, &self.path.arrivals[from..self.arrival]))
    }

    fn hottest_set_c(&mut self, _: usize, _: NaiveDateTime) -> Option<f64> {
        if self.is_idle() {
            return None;
        }
        self.path.steps.get(self.step)?.hottest_set_c
    }

    fn step_room(
        &mut self,
        place: usize,
        _: (usize, &Hour),
        supply: &dyn Supply,
        _: f64,
    ) -> Result<RoomStep, AnotherWay> {
        if self.is_idle() {
            return Ok(RoomStep::of(&self.idle[place]));
        }
        let step = self.path.steps.get(self.step).ok_or(self.another_way())?;
        let questions = &self.path.questions[self.question..self.question + step.questions];
        self.step += 1;
        self.question += step.questions;
        questions.iter().all(|asked| asked.leads_as_before(supply)).then_some(step.room).ok_or(self.another_way())
    }

    fn end_step(&mut self, _: f64) {}

    fn end_hour(&mut self) -> (&[RoomHour], u32) {
        let bins_cooling = self.hour.map_or(0, |hour| hour.bins_cooling);
        if self.is_idle() {
            return (&self.idle, bins_cooling);
        }
        let from = self.room;
        self.room += self.idle.len();
        (&self.path.rooms[from..self.room], bins_cooling)
    }

    fn close(&mut self, _: usize) -> Dried {
        self.path.dried.clone()
    }
}
