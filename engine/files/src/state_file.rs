//! A state of a ship as a file: a line that says of what, then the bytes of plant and panel.
//!
//! The first line is JSON and ends with a line feed, so that anybody can read what the file is:
//! `{"format":"faultwright-state/1","plant":"training-vessel","version":"…","plant_file":"…","tick":1200,"of_plant":71234,"of_panel":9876,"digest":"…"}`.
//! The bytes that follow are what `plant` and `panel` keep: of the plant first, then of the panel, as many as
//! the line says, and the line holds their digest. A state fits one plant file only, so its digest stands there as
//! well. Unlike a log, it is of one make of the program: it is for going on with, not for keeping for years.

use crate::digest::{self, Digest};
use base::{Diagnostic, Place, Tick};

/// The format and its version.
pub const FORMAT: &str = "faultwright-state/1";

/// The longest first line that is read.
const LINE_MAX: usize = 2000;

/// Which plant a state is of, and when in its run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Of {
    /// Short name of the plant.
    pub plant: String,
    /// The plant's version.
    pub version: String,
    /// Digest of the plant file.
    pub plant_file: Digest,
    /// The tick after which it stood so.
    pub tick: Tick,
}

#[derive(serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    format: String,
    plant: String,
    version: String,
    plant_file: Digest,
    tick: Tick,
    of_plant: usize,
    of_panel: usize,
    digest: Digest,
}

/// The bytes of a file.
#[must_use]
pub fn write(of: &Of, plant: &[u8], panel: &[u8]) -> Vec<u8> {
    let body = [plant, panel].concat();
    let line = Line {
        format: FORMAT.into(),
        plant: of.plant.clone(),
        version: of.version.clone(),
        plant_file: of.plant_file.clone(),
        tick: of.tick,
        of_plant: plant.len(),
        of_panel: panel.len(),
        digest: digest::bytes(&body),
    };
    let mut out = serde_json::to_vec(&line).expect("plain fields become JSON");
    out.push(b'\n');
    out.extend(body);
    out
}

/// What a file holds: of what, and the bytes of plant and panel.
///
/// # Errors
/// When it is no such file, of another version, or not as it was written.
pub fn read<'a>(file: &str, bytes: &'a [u8]) -> Result<(Of, &'a [u8], &'a [u8]), Diagnostic> {
    let wrong = |code, why: &str| Diagnostic::error(code, Place::file(file), why.to_owned());
    let end = bytes.iter().take(LINE_MAX).position(|b| *b == b'\n');
    let line = end.and_then(|e| serde_json::from_slice::<serde_json::Value>(&bytes[..e]).ok());
    let format = line.as_ref().and_then(|l| l.get("format")?.as_str().map(ToOwned::to_owned));
    let (Some(end), Some(line), Some(format)) = (end, line, format) else {
        return Err(wrong("state::form", "this is no state of a ship"));
    };
    if format != FORMAT {
        let why = format!("its format is \"{format}\"; this program reads \"{FORMAT}\"");
        return Err(wrong("state::version", &why));
    }
    let line: Line = serde_json::from_value(line)
        .map_err(|e| wrong("state::form", &format!("its first line is not that of a state: {e}")))?;
    let body = &bytes[end + 1..];
    if line.of_plant.checked_add(line.of_panel) != Some(body.len()) || digest::bytes(body) != line.digest {
        return Err(wrong("state::damaged", "its bytes are not those that were written: cut off or changed"));
    }
    let of = Of { plant: line.plant, version: line.version, plant_file: line.plant_file, tick: line.tick };
    let (plant, panel) = body.split_at(line.of_plant);
    Ok((of, plant, panel))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of() -> Of {
        Of { plant: "p".into(), version: "1".into(), plant_file: digest::bytes(b"file"), tick: Tick(12) }
    }

    #[test]
    fn what_is_read_is_what_was_written() {
        let bytes = write(&of(), b"plant\n", b"");
        assert_eq!(read("s", &bytes).unwrap(), (of(), &b"plant\n"[..], &b""[..]));
    }

    #[test]
    fn a_file_that_is_cut_changed_or_another_is_refused_in_words() {
        let good = write(&of(), b"plant", b"panel");
        let line = good.iter().position(|b| *b == b'\n').unwrap();
        for n in 0..good.len() {
            let code = read("s", &good[..n]).unwrap_err().code;
            assert_eq!(code, if n <= line { "state::form" } else { "state::damaged" }, "{n}");
        }
        for at in line + 1..good.len() {
            let mut changed = good.clone();
            changed[at] ^= 1;
            assert_eq!(read("s", &changed).unwrap_err().code, "state::damaged");
        }
        let text = String::from_utf8(good).unwrap();
        let told = |from: &str, to: &str| read("s", text.replace(from, to).as_bytes()).unwrap_err().to_string();
        assert!(told("state/1", "state/2").contains("its format is \"faultwright-state/2\""));
        assert!(told("\"tick\"", "\"tock\"").contains("its first line is not that of a state"));
        assert!(read("s", b"{\"t\":1}\n").unwrap_err().to_string().contains("this is no state of a ship"));
    }
}
