//! Where in a file a value stands, and what a value there looks like.

use core::ops::Range;

use toml_edit::{Array, ArrayOfTables, Item, TableLike};

use super::Document;
use super::document::line_at;
use crate::messages;
use wholestep::error::{Error, Value};
use wholestep::measure::{AngleUnit, LengthUnit};

/// The units that a file declares once, for the quoted numbers in it that have none.
#[derive(Clone, Copy, Debug, Default)]
pub struct Units {
    /// The unit of its lengths.
    pub length: Option<LengthUnit>,
    /// The unit of its angles.
    pub angle: Option<AngleUnit>,
}

/// Where in a file a value stands.
#[derive(Clone, Debug)]
pub(super) struct Place<'d> {
    document: &'d Document,
    /// The keys that lead to it, with points between; empty for the whole file.
    pub(super) key: String,
    pub(super) span: Range<usize>,
    pub(super) units: Units,
    /// Whether its section is one of several of its name.
    pub(super) listed: bool,
    entry: bool,
}

impl<'d> Place<'d> {
    pub(super) fn root(document: &'d Document) -> Self {
        Self {
            document,
            key: String::new(),
            span: 0..0,
            units: Units::default(),
            listed: false,
            entry: false,
        }
    }

    /// The place of `key` below this one.
    pub(super) fn child(&self, key: &str, span: Option<Range<usize>>) -> Self {
        let span = span.unwrap_or_else(|| self.span.clone());
        Self { key: self.path(key), span, listed: self.entry, entry: false, ..self.clone() }
    }

    /// The place of one entry of the list that stands here.
    pub(super) fn entry(&self, span: Option<Range<usize>>) -> Self {
        Self { span: span.unwrap_or_else(|| self.span.clone()), entry: true, ..self.clone() }
    }

    pub(super) fn path(&self, key: &str) -> String {
        if self.key.is_empty() { key.to_string() } else { format!("{}.{key}", self.key) }
    }

    /// The section as advice names it: ` under [limits]`.
    pub(super) fn under(&self) -> String {
        match self.key.rsplit_once('.') {
            None => String::new(),
            Some((section, _)) if self.listed => format!(" under [[{section}]]"),
            Some((section, _)) => format!(" under [{section}]"),
        }
    }

    pub(super) const fn document(&self) -> &'d Document {
        self.document
    }

    pub(super) fn line(&self) -> usize {
        line_at(self.document.text(), self.span.start)
    }

    /// The value as it was written.
    pub(super) fn written(&self) -> &'d str {
        self.document.excerpt(self.span.clone())
    }

    pub(super) fn quoted(&self) -> Value {
        Value::text(self.written())
    }

    /// The error that something else is `given` here.
    pub(super) fn wrong_type(&self, given: Value, advice: String) -> Error {
        self.blame(messages::WRONG_TYPE.error().given(given).advice(advice))
    }

    /// The error with file, line and key, if it does not have them yet.
    pub(super) fn blame(&self, error: Error) -> Error {
        let error = error.on_line(self.line());
        let error = if self.key.is_empty() { error } else { error.at_key(&self.key) };
        match self.document.file() {
            Some(file) => error.in_file(file),
            None => error,
        }
    }
}

/// A value in a file.
#[derive(Clone, Copy)]
pub(super) enum Node<'d> {
    Text(&'d str),
    Integer(i64),
    Decimal,
    Boolean(bool),
    Date,
    Values(&'d Array),
    Tables(&'d ArrayOfTables),
    Table(&'d dyn TableLike),
}

impl<'d> Node<'d> {
    pub(super) fn of_value(value: &'d toml_edit::Value) -> Self {
        match value {
            toml_edit::Value::String(text) => Self::Text(text.value()),
            toml_edit::Value::Integer(number) => Self::Integer(*number.value()),
            toml_edit::Value::Float(_) => Self::Decimal,
            toml_edit::Value::Boolean(value) => Self::Boolean(*value.value()),
            toml_edit::Value::Datetime(_) => Self::Date,
            toml_edit::Value::Array(list) => Self::Values(list),
            toml_edit::Value::InlineTable(table) => Self::Table(table),
        }
    }

    /// The value of `item`; nothing if it is a gap left by an edit.
    pub(super) fn of_item(item: &'d Item) -> Option<Self> {
        match item {
            Item::None => None,
            Item::Value(value) => Some(Self::of_value(value)),
            Item::Table(table) => Some(Self::Table(table)),
            Item::ArrayOfTables(tables) => Some(Self::Tables(tables)),
        }
    }
}

/// The value at `key` of `table`, and where it stands.
pub(super) fn look_up<'d>(
    place: &Place<'d>,
    table: &'d dyn TableLike,
    key: &str,
) -> Option<(Place<'d>, Node<'d>)> {
    let (name, item) = table.get_key_value(key)?;
    let span = item.span().or_else(|| name.span());
    Some((place.child(key, span), Node::of_item(item)?))
}
