//! Where condensers stand, in words: one table for every sentence and heading.

pub(crate) use crate::cool_store::Place;

/// Words for a place, with the room's own name where the study has several rooms.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PlaceWords {
    /// After “condensers” or “should stand”: `in the drying room`.
    pub stand: String,
    /// In a table: `in the room`.
    pub short: String,
    /// As the subject of a sentence: `the room`.
    pub subject: String,
}

impl PlaceWords {
    /// Of condensers there. `room` is named where there are several.
    pub(crate) fn of(place: Place, room: Option<&str>) -> Self {
        let of = |unnamed: &str| room.map_or_else(|| unnamed.to_owned(), |name| format!("“{name}”"));
        let (drying_room, the_room) = (of("the drying room"), of("the room"));
        let of_room = room.map_or_else(String::new, |name| format!(" of “{name}”"));
        let (stand, short, subject) = match place {
            Place::Outdoors => ("outdoors".to_owned(), "outdoors".to_owned(), "outdoors".to_owned()),
            Place::Room => (format!("in {drying_room}"), format!("in {the_room}"), the_room),
            Place::FreshAir => (
                format!("in the fresh-air intake{of_room}"),
                format!("in the intake{of_room}"),
                format!("the intake{of_room}"),
            ),
            Place::SwitchedRoom => (
                format!("in {drying_room} while their heat is wanted there, and outdoors otherwise"),
                format!("switched, {} or outdoors", of("room")),
                format!("a damper between {the_room} and outdoors"),
            ),
            Place::SwitchedFreshAir => (
                format!("in the fresh-air intake{of_room} while their heat is wanted there, and outdoors otherwise"),
                format!("switched, intake{of_room} or outdoors"),
                format!("a damper between the intake{of_room} and outdoors"),
            ),
        };
        Self { stand, short, subject }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_room_has_its_own_name_where_there_are_several() {
        let one = PlaceWords::of(Place::SwitchedRoom, None);
        assert_eq!(one.short, "switched, room or outdoors");
        assert_eq!(one.subject, "a damper between the room and outdoors");
        let several = PlaceWords::of(Place::Room, Some("finishing room"));
        assert_eq!((several.stand.as_str(), several.short.as_str()), ("in “finishing room”", "in “finishing room”"));
        let intake = PlaceWords::of(Place::FreshAir, Some("wet room"));
        assert_eq!(intake.stand, "in the fresh-air intake of “wet room”");
    }
}
