//! Fenced blocks of a Markdown page.

/// A block between two fences.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Block {
    /// The first word after the opening fence, up to a comma.
    pub(crate) language: String,
    pub(crate) body: String,
    /// The line of the opening fence, counted from 1.
    pub(crate) line: usize,
}

/// All fenced blocks in order. A block without a language, or never closed, is an error.
pub(crate) fn read(page: &str) -> Result<Vec<Block>, String> {
    let mut blocks = Vec::new();
    let mut open: Option<Block> = None;
    for (line, text) in (1..).zip(page.lines()) {
        let fence = text.strip_prefix("```");
        match (&mut open, fence) {
            (None, None) => {}
            (None, Some(label)) => {
                let language = label.split([',', ' ']).next().unwrap_or_default();
                if language.is_empty() {
                    return Err(format!("line {line}: the block does not say its language"));
                }
                open = Some(Block { language: language.into(), body: String::new(), line });
            }
            (Some(block), None) => {
                block.body.push_str(text);
                block.body.push('\n');
            }
            (Some(_), Some(_)) => blocks.extend(open.take()),
        }
    }
    match open {
        Some(block) => Err(format!("line {}: the block is never closed", block.line)),
        None => Ok(blocks),
    }
}

#[cfg(test)]
mod tests {
    use super::{Block, read};

    #[test]
    fn blocks_are_found_with_language_and_line() {
        let page = "# T\n\n```python\na = 1\n\nb = 2\n```\ntext\n```rust,no_run\nx\n```\n";
        let block =
            |language: &str, body: &str, line| Block { language: language.into(), body: body.into(), line };
        assert_eq!(read(page), Ok(vec![block("python", "a = 1\n\nb = 2\n", 3), block("rust", "x\n", 9)]));
    }

    #[test]
    fn what_cannot_be_checked_is_refused() {
        for (page, complaint) in [
            ("```\nx\n```\n", "line 1: the block does not say its language"),
            ("a\n```text\nx\n", "line 2: the block is never closed"),
        ] {
            assert_eq!(read(page), Err(complaint.into()), "{page:?}");
        }
    }
}
