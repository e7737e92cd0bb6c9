//! The journal as a page that can be sent.

use super::journal::EntryView;

/// The journal as one page that can be sent: nothing in it is loaded from anywhere, and nothing in it runs.
pub struct PageText<'a> {
    /// The entries, newest first.
    pub entries: &'a [EntryView],
    /// When it was made.
    pub made: &'a str,
}

const STYLE: &str = "body{font:16px/1.5 Georgia,serif;max-width:46rem;margin:2rem auto;padding:0 1rem;color:#1f2a33;\
background:#f7f4ec}li{border-top:1px solid #cfc8b8;padding:.6rem 0;list-style:none}ol{padding:0}time,small{color:#4a535b}\
p{margin:.2rem 0;white-space:pre-wrap}.back strong,.back p:first-of-type{text-decoration:line-through}";

impl PageText<'_> {
    /// The page.
    pub fn html(&self) -> String {
        let mut page = format!(
            "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
             <meta name=\"viewport\" content=\"width=device-width\"><title>Journal</title><style>{STYLE}</style></head>\n\
             <body><h1>Journal</h1><p><small>{} entries, as of {}.</small></p>\n<ol>\n",
            self.entries.len(),
            escaped(self.made)
        );
        for entry in self.entries {
            let craft =
                entry.craft_name.as_deref().map(|name| format!("{} ", escaped(name))).unwrap_or_default();
            let details = entry.details().iter().map(|one| escaped(one)).collect::<Vec<_>>().join(" · ");
            page.push_str(&format!(
                "<li{}><time>{}</time> <strong>{craft}{}</strong>{}{}</li>\n",
                if entry.taken_back.is_some() { " class=\"back\"" } else { "" },
                escaped(&entry.at),
                entry.kind_plain,
                if entry.words.is_empty() {
                    String::new()
                } else {
                    format!("<p>{}</p>", escaped(&entry.words))
                },
                if details.is_empty() { String::new() } else { format!("<p><small>{details}</small></p>") },
            ));
        }
        page.push_str("</ol></body></html>\n");
        page
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use care::{Entry, EntryKind};
    use workshop::Kept;

    #[test]
    fn words_on_a_page_that_is_sent_start_nothing() {
        let entry = Entry::new(0, EntryKind::Crashed, "<script>alert(1)</script> & \"gate\"").of("merlin");
        let kept = Kept { id: "1".into(), thing: entry, demo: false };
        let names = [("merlin", "Mer<lin")].into();
        let page = PageText { entries: &[EntryView::new(&kept, &names)], made: "now" }.html();
        assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;gate&quot;"));
        assert!(page.contains("Mer&lt;lin crashed") && !page.contains("<script"));
    }
}
