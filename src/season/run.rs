//! An option through a weather year: the nuts' side and the heat's side of the season together.

use super::branch::Branching;
use super::course::Course;
use super::dispatch::Dispatch;
use super::drying::Drying;
use super::impatient::Impatient;
use super::path::{AnotherWay, Followed, Path, Recorded};
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
    /// One option, not yet held against its reference.
    pub(super) fn march(self, heating: &Heating, detail: Detail) -> Book {
        let Ok((book, _)) = self.go(self.drying(), heating, detail);
        book
    }

    /// The same, and the path that it took, for others to follow.
    pub(super) fn march_and_record(self, heating: &Heating, detail: Detail) -> (Book, Path) {
        let Ok((book, recorded)) = self.go(Recorded::new(self.drying()), heating, detail);
        (book, recorded.into_path())
    }

    /// The same along a path; an error where the option goes another way.
    pub(super) fn follow(self, path: &Path, heating: &Heating, detail: Detail) -> Result<Book, AnotherWay> {
        let followed = Followed::new(path, self.plant.rooms.len());
        self.go(followed, heating, detail).map(|(book, _)| book)
    }

    /// The same along a path up to the last mark before the hour in which the option goes another way, and lived
    /// through and recorded from there; `None` where it leaves before any mark.
    pub(super) fn leave(
        self,
        path: &Path,
        left: AnotherWay,
        heating: &Heating,
        detail: Detail,
    ) -> Option<(Book, Path)> {
        let branching = Branching::off(path, left.from_hour, self.plant.rooms.len(), self.drying())?;
        let (book, branching) = self.go(branching, heating, detail).ok()?;
        Some((book, branching.into_path()))
    }

    /// One option, given up as soon as any nuts have waited for a bin longer than `waiting_hours`: `None`.
    pub(super) fn march_while_none_waits(self, heating: &Heating, waiting_hours: f64) -> Option<Book> {
        let impatient = Impatient { drying: self.drying(), waiting_hours };
        self.go(impatient, heating, Detail::Site).ok().map(|(book, _)| book)
    }

    fn drying(self) -> Drying<'a> {
        Drying::new(self.plant, self.intake, self.year)
    }

    /// Goes along a course to the end of the season.
    fn go<C: Course>(self, mut course: C, heating: &Heating, detail: Detail) -> Result<(Book, C), C::Astray> {
        let mut dispatch = Dispatch::new(self.plant, heating, self.year, detail);
        let mut lived = 0;
        for (at, hour) in self.year.hours.iter().enumerate() {
            if course.is_over(at) && dispatch.is_over() {
                break;
            }
            dispatch.live(&mut course, at, hour)?;
            lived = at + 1;
        }
        let dried = course.close(lived);
        Ok((dispatch.close(dried), course))
    }
}
