//! Every number of a structure is looked at before it is written: `serde_json` would write what is no number as null,
//! and a null says that a figure has no answer, as an `Option` in its type may.

use serde::ser::{
    Error, Serialize, SerializeMap, SerializeSeq, SerializeStruct, SerializeStructVariant, SerializeTuple,
    SerializeTupleStruct, SerializeTupleVariant, Serializer,
};
use std::fmt::Display;

/// A figure that is not a number: a fault of the program, never written to a file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "the figure {path} could not be computed (not a finite number), so nothing was written; please report the study that leads to it"
)]
pub struct NotFinite {
    /// Where in the figures.
    pub path: String,
}

impl Error for NotFinite {
    fn custom<T: Display>(told: T) -> Self {
        Self { path: format!("(all: {told})") }
    }
}

/// Refuses the first number that is not finite, with its path.
pub(super) fn all_finite(figures: &impl Serialize) -> Result<(), NotFinite> {
    figures.serialize(&mut Walk { path: String::new() })
}

/// A walk through a structure.
struct Walk {
    /// Where it is: `options[0].months[7].water_kg`.
    path: String,
}

impl Walk {
    fn check(&self, value: f64) -> Result<(), NotFinite> {
        if value.is_finite() { Ok(()) } else { Err(NotFinite { path: self.path.clone() }) }
    }

    fn within<T: Serialize + ?Sized>(&mut self, step: &str, part: &T) -> Result<(), NotFinite> {
        let length = self.path.len();
        self.path.push_str(step);
        part.serialize(&mut *self)?;
        self.path.truncate(length);
        Ok(())
    }

    fn field<T: Serialize + ?Sized>(&mut self, name: &str, part: &T) -> Result<(), NotFinite> {
        let dot = if self.path.is_empty() { "" } else { "." };
        self.within(&format!("{dot}{name}"), part)
    }
}

/// The parts of a list or of a structure, one after the other.
struct Parts<'a> {
    walk: &'a mut Walk,
    /// Place of the next of a list.
    at: usize,
    /// Key of the next of a map.
    key: String,
}

impl Parts<'_> {
    fn next<T: Serialize + ?Sized>(&mut self, part: &T) -> Result<(), NotFinite> {
        self.at += 1;
        self.walk.within(&format!("[{}]", self.at - 1), part)
    }
}

/// What holds no number that could be lost.
macro_rules! pass {
    ($($name:ident($($kind:ty),*);)*) => {
        $(fn $name(self, $(_: $kind),*) -> Result<(), NotFinite> { Ok(()) })*
    };
}

impl<'a> Serializer for &'a mut Walk {
    type Ok = ();
    type Error = NotFinite;
    type SerializeSeq = Parts<'a>;
    type SerializeTuple = Parts<'a>;
    type SerializeTupleStruct = Parts<'a>;
    type SerializeTupleVariant = Parts<'a>;
    type SerializeMap = Parts<'a>;
    type SerializeStruct = Parts<'a>;
    type SerializeStructVariant = Parts<'a>;

    pass! {
        serialize_bool(bool);
        serialize_i8(i8);
        serialize_i16(i16);
        serialize_i32(i32);
        serialize_i64(i64);
        serialize_u8(u8);
        serialize_u16(u16);
        serialize_u32(u32);
        serialize_u64(u64);
        serialize_char(char);
        serialize_str(&str);
        serialize_bytes(&[u8]);
        serialize_none();
        serialize_unit();
        serialize_unit_struct(&'static str);
        serialize_unit_variant(&'static str, u32, &'static str);
    }

    fn serialize_f32(self, value: f32) -> Result<(), NotFinite> {
        self.check(f64::from(value))
    }

    fn serialize_f64(self, value: f64) -> Result<(), NotFinite> {
        self.check(value)
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), NotFinite> {
        value.serialize(self)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Result<(), NotFinite> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        name: &'static str,
        value: &T,
    ) -> Result<(), NotFinite> {
        self.field(name, value)
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Parts<'a>, NotFinite> {
        Ok(Parts { walk: self, at: 0, key: String::new() })
    }

    fn serialize_tuple(self, length: usize) -> Result<Parts<'a>, NotFinite> {
        self.serialize_seq(Some(length))
    }

    fn serialize_tuple_struct(self, _: &'static str, length: usize) -> Result<Parts<'a>, NotFinite> {
        self.serialize_seq(Some(length))
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        length: usize,
    ) -> Result<Parts<'a>, NotFinite> {
        self.serialize_seq(Some(length))
    }

    fn serialize_map(self, length: Option<usize>) -> Result<Parts<'a>, NotFinite> {
        self.serialize_seq(length)
    }

    fn serialize_struct(self, _: &'static str, length: usize) -> Result<Parts<'a>, NotFinite> {
        self.serialize_seq(Some(length))
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        length: usize,
    ) -> Result<Parts<'a>, NotFinite> {
        self.serialize_seq(Some(length))
    }
}

/// A list of one kind or another: its parts are counted.
macro_rules! counted {
    ($($list:ident $next:ident;)*) => {
        $(impl $list for Parts<'_> {
            type Ok = ();
            type Error = NotFinite;

            fn $next<T: Serialize + ?Sized>(&mut self, part: &T) -> Result<(), NotFinite> {
                self.next(part)
            }

            fn end(self) -> Result<(), NotFinite> {
                Ok(())
            }
        })*
    };
}

/// A structure of one kind or another: its parts are named.
macro_rules! named {
    ($($structure:ident)*) => {
        $(impl $structure for Parts<'_> {
            type Ok = ();
            type Error = NotFinite;

            fn serialize_field<T: Serialize + ?Sized>(
                &mut self,
                name: &'static str,
                part: &T,
            ) -> Result<(), NotFinite> {
                self.walk.field(name, part)
            }

            fn end(self) -> Result<(), NotFinite> {
                Ok(())
            }
        })*
    };
}

counted! {
    SerializeSeq serialize_element;
    SerializeTuple serialize_element;
    SerializeTupleStruct serialize_field;
    SerializeTupleVariant serialize_field;
}
named! { SerializeStruct SerializeStructVariant }

impl SerializeMap for Parts<'_> {
    type Ok = ();
    type Error = NotFinite;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), NotFinite> {
        let key = serde_json::to_value(key).map_err(NotFinite::custom)?;
        self.key = key.as_str().map_or_else(|| key.to_string(), str::to_owned);
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, part: &T) -> Result<(), NotFinite> {
        self.walk.field(&std::mem::take(&mut self.key), part)
    }

    fn end(self) -> Result<(), NotFinite> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Serialize;
    use std::collections::BTreeMap;

    #[derive(Serialize)]
    struct Month {
        water_kg: f64,
        air_c: Option<f64>,
    }

    #[derive(Serialize)]
    struct Season {
        months: Vec<Month>,
        carriers: BTreeMap<&'static str, (f64, f64)>,
    }

    fn season(water_kg: f64, air_c: Option<f64>, cost: f64) -> Season {
        let whole = Month { water_kg: 1.0, air_c: None };
        Season { months: vec![whole, Month { water_kg, air_c }], carriers: BTreeMap::from([("gas", (1.0, cost))]) }
    }

    fn refused(season: &Season) -> Option<String> {
        all_finite(season).err().map(|found| found.path)
    }

    #[test]
    fn what_has_no_answer_may_be_missing_and_what_is_no_number_is_named() {
        assert_eq!(refused(&season(2.0, None, 3.0)), None);
        assert_eq!(refused(&season(2.0, Some(12.0), 3.0)), None);
        let named = |season| refused(&season).unwrap_or_default();
        assert_eq!(named(season(f64::NAN, None, 3.0)), "months[1].water_kg");
        assert_eq!(named(season(2.0, Some(f64::INFINITY), 3.0)), "months[1].air_c");
        assert_eq!(named(season(2.0, None, f64::NAN)), "carriers.gas[1]");
    }
}
