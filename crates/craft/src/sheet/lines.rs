//! From byte offsets to lines and columns.

/// Where each line of a text starts.
pub(super) struct Lines<'a> {
    pub(super) text: &'a str,
    starts: Vec<usize>,
}

impl<'a> Lines<'a> {
    pub(super) fn of(text: &'a str) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        Self { text, starts: std::iter::once(0).chain(ends.map(|(at, _)| at + 1)).collect() }
    }

    /// The number of the line an offset is on, from 0.
    pub(super) fn number(&self, offset: usize) -> usize {
        self.starts.partition_point(|start| *start <= offset).saturating_sub(1)
    }

    /// Line and column of an offset, both from 1; columns count letters.
    pub(super) fn place(&self, offset: usize) -> (usize, usize) {
        let number = self.number(offset);
        let start = self.starts.get(number).copied().unwrap_or(0);
        let before = self.text.get(start..offset.min(self.text.len())).unwrap_or("");
        (number + 1, before.chars().count() + 1)
    }

    /// Where the line of an offset starts.
    pub(super) fn start(&self, offset: usize) -> usize {
        self.starts.get(self.number(offset)).copied().unwrap_or(0)
    }

    /// Where a line starts, by its number from 0.
    pub(super) fn line_start(&self, number: usize) -> usize {
        self.starts.get(number).copied().unwrap_or(self.text.len())
    }

    /// Where the line after that of an offset starts, or where the text ends.
    pub(super) fn next(&self, offset: usize) -> usize {
        self.starts.get(self.number(offset) + 1).copied().unwrap_or(self.text.len())
    }

    /// The text of a line, by its number from 0, without its end.
    pub(super) fn line(&self, number: usize) -> &'a str {
        let start = self.starts.get(number).copied().unwrap_or(self.text.len());
        let end = self.starts.get(number + 1).copied().unwrap_or(self.text.len());
        self.text[start..end].trim_end_matches(['\n', '\r'])
    }
}
