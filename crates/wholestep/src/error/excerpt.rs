//! The part of a text that an error quotes.

use core::fmt;

/// The characters of a text that was given, or those about one place in it, kept without a heap.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Excerpt {
    bytes: [u8; Self::CAPACITY],
    length: u8,
}

impl Excerpt {
    const CAPACITY: usize = 40;
    const ELLIPSIS: &'static str = "…";

    /// Returns the text, or its beginning and an ellipsis.
    pub fn of(text: &str) -> Self {
        Self::about(text, 0)
    }

    /// Returns the text, or as much of it as fits about the byte `offset`, with an ellipsis for what is
    /// left out.
    pub fn about(text: &str, offset: usize) -> Self {
        let mut excerpt = Self { bytes: [0; Self::CAPACITY], length: 0 };
        if text.len() <= Self::CAPACITY {
            excerpt.push(text);
            return excerpt;
        }
        let room = Self::CAPACITY - 2 * Self::ELLIPSIS.len();
        let start = offset.saturating_sub(room / 2).min(text.len() - room);
        let boundary = |at: &usize| text.is_char_boundary(*at);
        let start = (start..=text.len()).find(boundary).unwrap_or(0);
        let end = (start..=text.len().min(start + room)).rfind(boundary).unwrap_or(start);
        if start > 0 {
            excerpt.push(Self::ELLIPSIS);
        }
        excerpt.push(&text[start..end]);
        if end < text.len() {
            excerpt.push(Self::ELLIPSIS);
        }
        excerpt
    }

    fn push(&mut self, text: &str) {
        let start = usize::from(self.length);
        let end = start + text.len();
        self.bytes[start..end].copy_from_slice(text.as_bytes());
        self.length = u8::try_from(end).unwrap_or(u8::MAX);
    }

    /// Returns the text.
    pub fn as_str(&self) -> &str {
        core::str::from_utf8(&self.bytes[..usize::from(self.length)]).unwrap_or_default()
    }
}

impl fmt::Display for Excerpt {
    /// Control characters are written as escapes, so that a hostile text cannot steer a terminal.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for next in self.as_str().chars() {
            if next.is_control() {
                write!(f, "{}", next.escape_default())?;
            } else {
                write!(f, "{next}")?;
            }
        }
        Ok(())
    }
}

impl fmt::Debug for Excerpt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn a_long_text_is_shortened_between_characters() {
        let long = "ä".repeat(40);
        let excerpt = Excerpt::of(&long);
        assert!(excerpt.as_str().ends_with('…') && excerpt.as_str().len() <= Excerpt::CAPACITY);
        assert_eq!(Excerpt::of("short").as_str(), "short");
    }

    #[test]
    fn a_long_text_is_quoted_about_the_trouble() {
        for (text, sign) in [("0".repeat(200), "0"), ("ä".repeat(100), "ä")] {
            for offset in (0..=200).step_by(2) {
                let mut text = text.clone();
                text.insert(offset, '#');
                let excerpt = Excerpt::about(&text, offset);
                let quoted = excerpt.as_str();
                assert!(quoted.contains('#') && quoted.contains(sign), "{quoted} at {offset}");
                assert!(quoted.starts_with('…') || offset < 20, "{quoted} at {offset}");
                assert!(quoted.ends_with('…') || offset > 180, "{quoted} at {offset}");
            }
        }
    }

    #[test]
    fn a_text_cannot_steer_the_terminal_it_is_quoted_on() {
        assert_eq!(Excerpt::of("a\u{1b}[2J\n").to_string(), "a\\u{1b}[2J\\n");
    }
}
