//! A serde deserializer over the values of a file, with file, line and key in every error.

use std::vec::{self, Vec};

use serde::de::value::{BorrowedStrDeserializer, StringDeserializer};
use serde::de::{
    Deserialize, DeserializeSeed, Deserializer, IntoDeserializer, MapAccess, SeqAccess, Visitor,
};
use serde::forward_to_deserialize_any;
use toml_edit::TableLike;

use super::location::{Node, Place, look_up};
use super::suggest::instead;
use super::trouble::{Missing, Trouble};
use super::wanted::Wanted;
use wholestep::error::{self, Error, ErrorKind, Value};

/// One value of a file, or the want of it.
#[derive(Clone)]
pub(super) struct Reader<'d> {
    place: Place<'d>,
    /// Nothing if the value is asked for only to learn how it would be spelled.
    node: Option<Node<'d>>,
    /// Keys of the section that were handed out before.
    taken: Vec<String>,
    /// The missing key whose spelling is to be learned.
    ask: Option<Missing>,
}

/// Reads a value at a place.
///
/// A structure says only by name which key it lacks. It is then read once more with that key
/// asked for, and the type that answers tells the spelling.
pub(super) fn read<'d, T: Deserialize<'d>>(
    place: Place<'d>,
    node: Option<Node<'d>>,
    taken: &[String],
) -> error::Result<T> {
    let mut reader = Reader { place, node, taken: taken.to_vec(), ask: None };
    let trouble = match T::deserialize(reader.clone()) {
        Ok(value) => return Ok(value),
        Err(trouble) => trouble,
    };
    if trouble.missing.is_some() {
        reader.ask = trouble.missing;
        if let Err(spelled) = T::deserialize(reader) {
            return Err(*spelled.error);
        }
    }
    Err(*trouble.error)
}

impl<'d> Reader<'d> {
    fn node(&self, wanted: Wanted) -> Result<Node<'d>, Trouble> {
        self.node.ok_or_else(|| wanted.missing(&self.place).into())
    }

    fn refuse(&self, wanted: Wanted) -> Trouble {
        let given = match self.node {
            Some(Node::Table(_) | Node::Tables(_)) => Value::Word("[section]"),
            _ => self.place.quoted(),
        };
        wanted.wrong_type(&self.place, given).into()
    }

    fn beside(&self, place: Place<'d>, node: Option<Node<'d>>) -> Self {
        Self { place, node, taken: Vec::new(), ask: self.ask.clone() }
    }

    /// A decimal without quotes, or a whole number without a unit.
    fn bare(&self, wanted: Wanted, kind: ErrorKind) -> Trouble {
        let error = Error::new(kind, wanted.subject()).given(self.place.quoted());
        let advice = match wanted.exactly(self.place.written(), self.place.units) {
            Some(quoted) => format!("write it in quotes: {quoted}"),
            None => format!("write it in quotes and with its unit, such as {}", wanted.units_to_choose()),
        };
        self.place.blame(error.advice(advice)).into()
    }

    /// The text of a type that reads its own, with the unit the file declares.
    fn text_of(&self, wanted: Wanted) -> Result<String, Trouble> {
        match self.node(wanted)? {
            Node::Text(text) => {
                wanted.with_unit(text, self.place.units).map_err(|error| self.place.blame(error).into())
            }
            Node::Integer(number) if matches!(wanted, Wanted::Number | Wanted::StepMode) => wanted
                .with_unit(&number.to_string(), self.place.units)
                .map_err(|error| self.place.blame(error).into()),
            Node::Integer(_) if wanted != Wanted::Thread => Err(self.bare(wanted, ErrorKind::MissingUnit)),
            Node::Decimal if !matches!(wanted, Wanted::StepMode | Wanted::Thread) => {
                Err(self.bare(wanted, ErrorKind::InexactNumber))
            }
            _ => Err(self.refuse(wanted)),
        }
    }

    fn text(&self, wanted: Wanted) -> Result<&'d str, Trouble> {
        match self.node(wanted)? {
            Node::Text(text) => Ok(text),
            _ => Err(self.refuse(wanted)),
        }
    }

    fn integer(&self, least: i128, most: i128) -> Result<i64, Trouble> {
        let Node::Integer(number) = self.node(Wanted::Whole)? else {
            return Err(self.refuse(Wanted::Whole));
        };
        if (least..=most).contains(&i128::from(number)) {
            return Ok(number);
        }
        let error = Error::new(ErrorKind::OutOfRange, "whole number")
            .given(Value::Integer(number.into()))
            .between(Value::Integer(least), Value::Integer(most));
        Err(self.place.blame(error).into())
    }

    fn list<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        let entry = |span, node| self.beside(self.place.entry(span), Some(node));
        let entries: Vec<Self> = match self.node(Wanted::List)? {
            Node::Values(list) => list.iter().map(|v| entry(v.span(), Node::of_value(v))).collect(),
            Node::Tables(tables) => tables.iter().map(|t| entry(t.span(), Node::Table(t))).collect(),
            Node::Table(_) => return Err(self.refuse(Wanted::Sections)),
            _ => return Err(self.refuse(Wanted::List)),
        };
        let mut entries = Entries(entries.into_iter());
        let value = visitor.visit_seq(&mut entries).map_err(|trouble| trouble.within(&self.place))?;
        match entries.0.next() {
            None => Ok(value),
            Some(spare) => {
                let error = Error::new(ErrorKind::Key, "one entry too many").given(spare.place.quoted());
                Err(spare.place.blame(error.remedy("take it out of the list")).into())
            }
        }
    }

    /// Visits a section; where its `fields` are known, every other key is refused first.
    fn section<V: Visitor<'d>>(
        self,
        visitor: V,
        fields: Option<&'static [&'static str]>,
    ) -> Result<V::Value, Trouble> {
        let Node::Table(table) = self.node(Wanted::Section)? else {
            return Err(self.refuse(Wanted::Section));
        };
        let keys =
            || table.iter().map(|(key, _)| key).filter(|key| !self.taken.iter().any(|taken| taken == key));
        if let Some(fields) = fields
            && let Some(unknown) = keys().find(|key| !fields.contains(key))
        {
            let known = self.taken.iter().map(String::as_str).chain(fields.iter().copied());
            return Err(unknown_key(&self.place, table, unknown, known).into());
        }
        let mut values: Vec<(&'d str, Self)> = keys()
            .filter_map(|key| {
                let (place, node) = look_up(&self.place, table, key)?;
                Some((key, self.beside(place, Some(node))))
            })
            .collect();
        if let Some(ask) = self.ask.as_ref().filter(|ask| ask.section == Some(self.place.span.start)) {
            values.push((ask.field, self.beside(self.place.child(ask.field, None), None)));
        }
        let values = Values { values: values.into_iter(), next: None };
        visitor.visit_map(values).map_err(|trouble| trouble.within(&self.place))
    }
}

/// The error for a key that nobody asked for, with the ones that somebody did.
pub(super) fn unknown_key<'k>(
    place: &Place<'_>,
    table: &dyn TableLike,
    key: &str,
    known: impl IntoIterator<Item = &'k str> + Clone,
) -> Error {
    instead_of_key(place, table, key, instead(key, known, "take it out"))
}

/// The error for an unknown key, with what to write instead.
pub(super) fn instead_of_key(place: &Place<'_>, table: &dyn TableLike, key: &str, advice: String) -> Error {
    let span = table.key(key).and_then(toml_edit::Key::span);
    place.child(key, span).blame(Error::new(ErrorKind::Key, "unknown key").advice(advice))
}

struct Entries<'d>(vec::IntoIter<Reader<'d>>);

impl<'d> SeqAccess<'d> for &mut Entries<'d> {
    type Error = Trouble;

    fn next_element_seed<T: DeserializeSeed<'d>>(&mut self, seed: T) -> Result<Option<T::Value>, Trouble> {
        self.0.next().map(|entry| seed.deserialize(entry)).transpose()
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.0.len())
    }
}

struct Values<'d> {
    values: vec::IntoIter<(&'d str, Reader<'d>)>,
    next: Option<Reader<'d>>,
}

impl<'d> MapAccess<'d> for Values<'d> {
    type Error = Trouble;

    fn next_key_seed<K: DeserializeSeed<'d>>(&mut self, seed: K) -> Result<Option<K::Value>, Trouble> {
        let Some((key, reader)) = self.values.next() else { return Ok(None) };
        let place = reader.place.clone();
        self.next = Some(reader);
        let key = seed.deserialize(BorrowedStrDeserializer::<Trouble>::new(key));
        key.map(Some).map_err(|trouble| trouble.within(&place))
    }

    fn next_value_seed<T: DeserializeSeed<'d>>(&mut self, seed: T) -> Result<T::Value, Trouble> {
        match self.next.take() {
            Some(reader) => seed.deserialize(reader),
            None => Err(serde::de::Error::custom("a value was asked for before its key")),
        }
    }
}

macro_rules! integers {
    ($($method:ident $type:ty, $visit:ident;)*) => { $(
        fn $method<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
            let number = self.integer(<$type>::MIN.into(), <$type>::MAX.into())?;
            visitor.$visit(number).map_err(|trouble: Trouble| trouble.within(&self.place))
        }
    )* };
}

impl<'d> Deserializer<'d> for Reader<'d> {
    type Error = Trouble;

    integers! {
        deserialize_i8 i8, visit_i64;
        deserialize_i16 i16, visit_i64;
        deserialize_i32 i32, visit_i64;
        deserialize_i64 i64, visit_i64;
        deserialize_u8 u8, visit_i64;
        deserialize_u16 u16, visit_i64;
        deserialize_u32 u32, visit_i64;
        deserialize_u64 u64, visit_i64;
    }

    fn deserialize_any<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        let place = self.place.clone();
        let value = match self.node(Wanted::Anything)? {
            Node::Text(text) => visitor.visit_borrowed_str(text),
            Node::Integer(number) => visitor.visit_i64(number),
            Node::Boolean(value) => visitor.visit_bool(value),
            Node::Decimal => return Err(self.bare(Wanted::Number, ErrorKind::InexactNumber)),
            Node::Date => return Err(self.refuse(Wanted::Text)),
            Node::Values(_) | Node::Tables(_) => self.list(visitor),
            Node::Table(_) => self.section(visitor, None),
        };
        value.map_err(|trouble| trouble.within(&place))
    }

    fn deserialize_f32<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        self.deserialize_f64(visitor)
    }

    fn deserialize_f64<V: Visitor<'d>>(self, _: V) -> Result<V::Value, Trouble> {
        let error = Error::new(ErrorKind::InexactNumber, "binary float");
        Err(self.place.blame(error.remedy("let the kind take an Exact; a binary float is never read")).into())
    }

    fn deserialize_bool<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        match self.node(Wanted::Boolean)? {
            Node::Boolean(value) => visitor.visit_bool(value),
            _ => Err(self.refuse(Wanted::Boolean)),
        }
    }

    fn deserialize_str<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        let text = self.text(Wanted::Text)?;
        visitor.visit_borrowed_str(text).map_err(|trouble: Trouble| trouble.within(&self.place))
    }

    fn deserialize_string<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        self.deserialize_str(visitor)
    }

    fn deserialize_char<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        self.deserialize_str(visitor)
    }

    fn deserialize_option<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'d>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Trouble> {
        let Some(wanted) = Wanted::named(name) else { return visitor.visit_newtype_struct(self) };
        let text: StringDeserializer<Trouble> = self.text_of(wanted)?.into_deserializer();
        visitor.visit_newtype_struct(text).map_err(|trouble| trouble.within(&self.place))
    }

    fn deserialize_seq<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        self.list(visitor)
    }

    fn deserialize_tuple<V: Visitor<'d>>(self, _: usize, visitor: V) -> Result<V::Value, Trouble> {
        self.list(visitor)
    }

    fn deserialize_tuple_struct<V: Visitor<'d>>(
        self,
        _: &'static str,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, Trouble> {
        self.list(visitor)
    }

    fn deserialize_map<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        self.section(visitor, None)
    }

    fn deserialize_struct<V: Visitor<'d>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Trouble> {
        self.section(visitor, Some(fields))
    }

    fn deserialize_enum<V: Visitor<'d>>(
        self,
        _: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Trouble> {
        let word: BorrowedStrDeserializer<'d, Trouble> =
            BorrowedStrDeserializer::new(self.text(Wanted::Word(variants))?);
        visitor.visit_enum(word).map_err(|trouble| trouble.within(&self.place))
    }

    fn deserialize_ignored_any<V: Visitor<'d>>(self, visitor: V) -> Result<V::Value, Trouble> {
        visitor.visit_unit()
    }

    forward_to_deserialize_any! { <V: Visitor<'d>> i128 u128 bytes byte_buf unit unit_struct identifier }
}
