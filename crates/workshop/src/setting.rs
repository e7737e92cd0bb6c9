//! Settings: small things the pages remember, by key. They are no part of any craft and leave no journal line.

use crate::Workshop;
use crate::fault::{Trouble, WorkshopFault};
use rusqlite::{Connection, OptionalExtension};

/// The longest key and value, in bytes: a setting is a small thing.
const SETTING_BYTES_MAX: usize = 4096;

impl Workshop {
    /// The value of a setting, if it was ever set.
    pub fn setting(&self, key: &str) -> Result<Option<String>, WorkshopFault> {
        self.read(|conn| {
            let mut statement = conn.prepare_cached("SELECT value FROM setting WHERE key = ?1")?;
            Ok(statement.query_row([key], |row| row.get(0)).optional()?)
        })
    }

    /// Sets a setting; `None` forgets it.
    pub fn set_setting(&mut self, key: &str, value: Option<&str>) -> Result<(), WorkshopFault> {
        self.write(|conn| {
            let bytes = key.len() + value.map_or(0, str::len);
            if bytes > SETTING_BYTES_MAX {
                let what =
                    format!("a setting of {bytes} bytes must be at most {SETTING_BYTES_MAX}; shorten it");
                return Err(WorkshopFault::Unsound { what }.into());
            }
            put(conn, key, value)
        })
    }
}

/// Writes a value under its key; `None` forgets it.
pub(crate) fn put(conn: &Connection, key: &str, value: Option<&str>) -> Result<(), Trouble> {
    match value {
        Some(value) => conn.execute(
            "INSERT INTO setting (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
            [key, value],
        )?,
        None => conn.execute("DELETE FROM setting WHERE key = ?1", [key])?,
    };
    Ok(())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::at_hand::workshop;

    #[test]
    fn a_setting_is_remembered_until_forgotten() {
        let mut shop = workshop();
        assert_eq!(shop.setting("theme").unwrap(), None);
        shop.set_setting("theme", Some("dark")).unwrap();
        shop.set_setting("theme", Some("light")).unwrap();
        assert_eq!(shop.setting("theme").unwrap().as_deref(), Some("light"));
        shop.set_setting("theme", None).unwrap();
        assert_eq!(shop.setting("theme").unwrap(), None);
        let refused = shop.set_setting("theme", Some(&"x".repeat(5000))).unwrap_err();
        assert_eq!(
            refused.to_string(),
            "a setting of 5005 bytes must be at most 4096; shorten it; nothing was changed"
        );
    }
}
