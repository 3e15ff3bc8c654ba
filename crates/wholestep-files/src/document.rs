//! A TOML file, read with the place of everything in it.

use core::ops::Range;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use super::Section;
use super::location::Place;
use crate::messages;
use wholestep::error::{Error, ErrorKind, Result, Value};

/// Most bytes of a file that is read.
const SIZE_MAX: u64 = 4 << 20;

/// A TOML file, from which [`Section`]s hand out values and name file, line and key in every error.
///
/// ```
/// use wholestep::Length;
/// use wholestep_files::Document;
/// let document = Document::from_toml("fence = \"12-1/2 in\"\nspeed = 3.5\n")?;
/// let mut root = document.root();
/// assert_eq!(root.required::<Length>("fence")?.to_string(), "317.5 mm");
/// assert_eq!(root.finish().unwrap_err().line(), Some(2));
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Debug)]
pub struct Document {
    file: Option<String>,
    tree: toml_edit::Document<String>,
    /// Stands in for a section that the file leaves out.
    no_keys: toml_edit::Table,
}

impl Document {
    /// Reads the file at `path`.
    ///
    /// # Errors
    /// [`ErrorKind::File`] if it is missing, cannot be read, is above 4 MiB, or is not UTF-8;
    /// [`ErrorKind::Syntax`] if it is not TOML, [`ErrorKind::Key`] for a key given twice.
    pub fn load(path: impl AsRef<Path>) -> Result<Self> {
        let file = path.as_ref().display().to_string();
        let text = read_text(path.as_ref()).map_err(|error| error.in_file(&file))?;
        Self::parse(Some(file), &text)
    }

    /// Reads a text that stands in no file.
    ///
    /// # Errors
    /// As [`load`](Self::load).
    pub fn from_toml(text: &str) -> Result<Self> {
        Self::parse(None, text)
    }

    /// Everything in the file.
    pub fn root(&self) -> Section<'_> {
        Section::new(Place::root(self), self.tree.as_table())
    }

    /// Returns the text of the file.
    pub fn text(&self) -> &str {
        self.tree.raw()
    }

    /// Returns the file's name, if it was read from one.
    pub fn file(&self) -> Option<&str> {
        self.file.as_deref()
    }

    pub(super) fn parse(file: Option<String>, text: &str) -> Result<Self> {
        match toml_edit::Document::parse(text.to_string()) {
            Ok(tree) => Ok(Self { file, tree, no_keys: toml_edit::Table::new() }),
            Err(error) => {
                let error = syntax_error(&error, text);
                Err(match file {
                    Some(file) => error.in_file(&file),
                    None => error,
                })
            }
        }
    }

    pub(super) fn table(&self) -> &toml_edit::Table {
        self.tree.as_table()
    }

    /// Tells whether `key` stands in `section`.
    pub(super) fn says(&self, section: &str, key: &str) -> bool {
        self.table().get(section).is_some_and(|section| section.get(key).is_some())
    }

    pub(super) const fn no_keys(&self) -> &toml_edit::Table {
        &self.no_keys
    }

    pub(super) fn excerpt(&self, span: Range<usize>) -> &str {
        self.text().get(span).unwrap_or_default()
    }
}

/// The line of the byte at `offset`, counted from 1.
pub(super) fn line_at(text: &str, offset: usize) -> usize {
    text.bytes().take(offset).filter(|byte| *byte == b'\n').count() + 1
}

fn read_text(path: &Path) -> Result<String> {
    let unreadable = |error: io::Error| {
        let refused = match error.kind() {
            io::ErrorKind::NotFound => messages::FILE_NOT_FOUND.error(),
            _ => messages::UNREADABLE_FILE.error().advice(error.to_string()),
        };
        refused.os_error(path.display().to_string(), error.raw_os_error())
    };
    let mut bytes = std::vec::Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    file.take(SIZE_MAX + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if u64::try_from(bytes.len()).is_ok_and(|size| size > SIZE_MAX) {
        return Err(messages::LARGE_FILE.error());
    }
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let before = String::from_utf8_lossy(&error.as_bytes()[..valid]);
        messages::NOT_UTF_8.error().on_line(line_at(&before, valid))
    })
}

fn syntax_error(error: &toml_edit::TomlError, text: &str) -> Error {
    let message = error.message().replace('\n', ", ");
    let (kind, subject) = if message.contains("duplicate key") {
        (ErrorKind::Key, "key given twice")
    } else {
        (ErrorKind::Syntax, "not TOML")
    };
    let Some(span) = error.span() else { return Error::new(kind, subject).advice(message) };
    let given = text.get(span.clone()).unwrap_or_default().trim();
    let placed = Error::new(kind, subject).on_line(line_at(text, span.start));
    let placed = if given.is_empty() { placed } else { placed.given(Value::text(given)) };
    match kind {
        ErrorKind::Key => placed.at_key(given).remedy("keep one of them"),
        _ => placed.advice(format!("{message}; keys stand before =, texts and measures in double quotes")),
    }
}
