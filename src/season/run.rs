//! An option through a weather year: the nuts' side and the heat's side of the season together.

use super::course::{Course, Followed, Path, Recorded, may_follow};
use super::dispatch::Dispatch;
use super::drying::Drying;
use super::plant::{Heating, Intake, Plant};
use crate::ledger::{Book, Detail};
use crate::weather::WeatherYear;

/// What is marched through: the same for all options of a plant.
#[derive(Clone, Copy)]
pub(super) struct Site<'a> {
    pub plant: &'a Plant,
    pub intake: &'a Intake,
    pub year: &'a WeatherYear,
}

impl<'a> Site<'a> {
    /// One option, not yet held against its reference, and the path that it took if another may follow it.
    pub(super) fn march(self, heating: &Heating, detail: Detail) -> (Book, Option<Path>) {
        if !may_follow(self.plant, heating) {
            let lived = self.go(self.drying(), heating, detail, |_, _| true);
            return (lived.map(|(book, _)| book).unwrap_or_default(), None);
        }
        let recorded = self.go(Recorded::new(self.drying()), heating, detail, |_, _| true);
        recorded.map(|(book, course)| (book, Some(course.into_path()))).unwrap_or_default()
    }

    /// The same along a path; `None` where the option goes another way.
    pub(super) fn follow(self, path: &Path, heating: &Heating, detail: Detail) -> Option<Book> {
        let followed = Followed::new(path, self.plant.rooms().count());
        self.go(followed, heating, detail, |_, _| true).map(|(book, _)| book)
    }

    /// One option, given up as soon as any nuts have waited for a bin longer than `waiting_hours`: `None`.
    pub(super) fn march_while_none_waits(self, heating: &Heating, waiting_hours: f64) -> Option<Book> {
        let none_waits = |drying: &Drying<'_>, at: usize| drying.heap.longest_wait_h(at) <= waiting_hours;
        self.go(self.drying(), heating, Detail::Site, none_waits).map(|(book, _)| book)
    }

    fn drying(self) -> Drying<'a> {
        Drying::new(self.plant, self.intake, self.year)
    }

    /// Goes along a course while it `goes_on` at the end of every hour.
    fn go<C: Course>(
        self,
        mut course: C,
        heating: &Heating,
        detail: Detail,
        goes_on: impl Fn(&C, usize) -> bool,
    ) -> Option<(Book, C)> {
        let mut dispatch = Dispatch::new(self.plant, heating, self.year, detail);
        let mut lived = 0;
        for (at, hour) in self.year.hours.iter().enumerate() {
            if course.is_over(at) && dispatch.is_over() {
                break;
            }
            dispatch.live(&mut course, at, hour)?;
            if !goes_on(&course, at) {
                return None;
            }
            lived = at + 1;
        }
        let dried = course.close(lived);
        Some((dispatch.close(dried), course))
    }
}
