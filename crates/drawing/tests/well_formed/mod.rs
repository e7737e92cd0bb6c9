//! Whether a picture is well-formed XML.

#![allow(clippy::unwrap_used)]

/// Elements close in order, attributes are quoted and stand once, `&` and `<` occur only as markup.
pub fn check_well_formed(xml: &str) {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = xml;
    while let Some(start) = rest.find('<') {
        check_text(&rest[..start]);
        let end = rest.find('>').unwrap();
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name));
            continue;
        }
        let (body, closed) = tag.strip_suffix('/').map_or((tag, false), |body| (body, true));
        let name = body.split(' ').next().unwrap();
        assert!(name.chars().all(|c| c.is_ascii_alphanumeric()) && !name.is_empty(), "{tag}");
        check_attributes(&body[name.len()..]);
        if !closed {
            open.push(name);
        }
    }
    check_text(rest);
    assert!(open.is_empty(), "{open:?} left open");
}

fn check_attributes(mut body: &str) {
    let mut seen = Vec::new();
    while !body.trim().is_empty() {
        let (name, rest) = body.split_once("=\"").unwrap();
        let (value, rest) = rest.split_once('"').unwrap();
        assert!(name.starts_with(' ') && !seen.contains(&name), "{name}");
        check_text(value);
        seen.push(name);
        body = rest;
    }
}

fn check_text(text: &str) {
    assert!(text.chars().all(|c| c >= ' ' || c == '\n'), "{text:?}");
    for entity in text.split('&').skip(1) {
        let name = entity.split(';').next().unwrap();
        assert!(["amp", "lt", "gt", "quot", "#39"].contains(&name), "&{name}");
    }
}
