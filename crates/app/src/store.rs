//! Files: reading without surprises, writing without losses.

use crate::terminal::Trouble;
use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use tidewright_rig::read::LARGEST_FILE;

/// Reads a whole file that should be small.
///
/// # Errors
/// A sentence that says which file and why: missing, a folder, too large, not permitted.
pub(crate) fn load(path: &Path) -> Result<Vec<u8>, Trouble> {
    load_at_most(path, LARGEST_FILE)
}

/// The same of a file that may have so many bytes.
///
/// # Errors
/// As [`load`].
pub(crate) fn load_at_most(path: &Path, most: usize) -> Result<Vec<u8>, Trouble> {
    let name = path.display();
    let about = fs::metadata(path).map_err(|e| match e.kind() {
        std::io::ErrorKind::NotFound => {
            Trouble(format!("there is no file {name}; \"tidewright new\" writes a first one"))
        }
        _ => Trouble(format!("{name} cannot be opened: {e}")),
    })?;
    if about.is_dir() {
        return Err(Trouble(format!("{name} is a folder; name a file inside it")));
    }
    // What is no ordinary file does not say how long it is.
    let mut all = Vec::new();
    fs::File::open(path)
        .and_then(|f| f.take(most as u64 + 1).read_to_end(&mut all))
        .map_err(|e| Trouble(format!("{name} cannot be read: {e}")))?;
    if all.len() > most {
        return Err(Trouble(format!("{name} has more than the {most} bytes that such a file may have")));
    }
    Ok(all)
}

/// What is said of bytes that are no UTF-8.
pub(crate) fn no_text(path: &Path) -> Trouble {
    Trouble(format!("{} is not UTF-8 text: save it as UTF-8, as every editor and spreadsheet can", path.display()))
}

/// Writes a file so that at every moment either the old or the new one is whole on disk.
///
/// The version that was there before stays beside it with a tilde.
///
/// # Errors
/// A sentence that says why; the old file is then untouched.
pub(crate) fn save(path: &Path, text: &str) -> Result<(), Trouble> {
    if path.exists() {
        let before = beside(path, "", "~");
        fs::copy(path, &before)
            .map_err(|e| Trouble(format!("the old version could not be kept as {}: {e}", before.display())))?;
    }
    write_whole(path, text, When::Now)
}

/// Keeps edits that are not saved yet, to survive a killed program, with the text they began from.
pub(crate) fn keep_draft(path: &Path, base: &str, text: &str) -> Result<(), Trouble> {
    let of = base_path(path);
    if fs::read(&of).ok().as_deref() != Some(base.as_bytes()) {
        write_whole(&of, base, When::Now)?;
    }
    write_whole(&draft_path(path), text, When::Soon)
}

/// When a file must be safe from a power cut; from a killed program it is at once.
#[derive(Clone, Copy, PartialEq, Eq)]
enum When {
    /// Before anything else happens.
    Now,
    /// As soon as the disk has time: nobody waits for it while typing.
    Soon,
}

/// What an earlier session left behind.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Draft {
    /// Nothing.
    None,
    /// Edits of the file as it still is.
    Fits(String),
    /// Edits of another text: the file was changed since. They were moved to this place.
    Stale(PathBuf),
}

/// Edits of an earlier session that were never saved.
pub(crate) fn draft(path: &Path, file_text: &str) -> Draft {
    let read = |p: &Path| load(p).ok().and_then(|b| String::from_utf8(b).ok());
    let Some(text) = read(&draft_path(path)).filter(|t| t != file_text) else { return Draft::None };
    if read(&base_path(path)).is_some_and(|base| base == file_text) {
        return Draft::Fits(text);
    }
    let aside = beside(path, "", ".unsaved");
    match fs::rename(draft_path(path), &aside) {
        Ok(()) => Draft::Stale(aside),
        Err(_) => Draft::Stale(draft_path(path)),
    }
}

/// Forgets the draft.
pub(crate) fn drop_draft(path: &Path) {
    // A draft that cannot be removed equals the saved file and is ignored when next opened.
    let _ = fs::remove_file(draft_path(path));
    let _ = fs::remove_file(base_path(path));
}

fn base_path(path: &Path) -> PathBuf {
    beside(path, ".", ".draft-of")
}

fn draft_path(path: &Path) -> PathBuf {
    beside(path, ".", ".draft")
}

fn beside(path: &Path, before: &str, after: &str) -> PathBuf {
    let name = path.file_name().map_or_else(|| "bench.toml".into(), |n| n.to_string_lossy().into_owned());
    path.with_file_name(format!("{before}{name}{after}"))
}

fn write_whole(path: &Path, text: &str, when: When) -> Result<(), Trouble> {
    let trouble =
        |e: std::io::Error| Trouble(format!("{} could not be written: {e}; the old file is untouched", path.display()));
    // A link stays a link: what it points to is replaced.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let part = beside(&target, ".", &format!(".part{}", std::process::id()));
    let written = fs::File::create(&part).and_then(|mut f| {
        f.write_all(text.as_bytes())?;
        if let Ok(old) = fs::metadata(&target) {
            f.set_permissions(old.permissions())?;
        }
        if when == When::Now { f.sync_all() } else { Ok(()) }
    });
    if let Err(e) = written.and_then(|()| fs::rename(&part, &target)) {
        let _ = fs::remove_file(&part);
        return Err(trouble(e));
    }
    match when {
        When::Now => settle_name(&target),
        When::Soon => {
            std::thread::spawn(move || {
                let _ = fs::File::open(&target).and_then(|f| f.sync_all());
                settle_name(&target);
            });
        }
    }
    Ok(())
}

/// The new name must be on the disk too; a file system that cannot say so is taken at its word.
fn settle_name(target: &Path) {
    if let Some(folder) = target.parent() {
        let _ = fs::File::open(folder).and_then(|f| f.sync_all());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(name: &str) -> PathBuf {
        let dir = std::env::temp_dir().join(format!("tidewright-store-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&dir);
        fs::create_dir_all(&dir).unwrap();
        dir
    }

    #[test]
    fn saving_keeps_the_old_version_and_drafts_are_forgotten() {
        let dir = folder("save");
        let path = dir.join("bench.toml");
        save(&path, "a = 1\n").unwrap();
        save(&path, "a = 2\n").unwrap();
        assert_eq!(fs::read_to_string(dir.join("bench.toml~")).unwrap(), "a = 1\n");
        keep_draft(&path, "a = 2\n", "a = 3\n").unwrap();
        assert_eq!(draft(&path, "a = 2\n"), Draft::Fits("a = 3\n".into()));
        assert_eq!(draft(&path, "a = 3\n"), Draft::None);
        drop_draft(&path);
        assert_eq!(draft(&path, "a = 2\n"), Draft::None);
        assert_eq!(fs::read_dir(&dir).unwrap().count(), 2);
        // A file that was changed by hand since is not overwritten by the draft, nor the draft lost.
        keep_draft(&path, "a = 2\n", "a = 3\n").unwrap();
        let Draft::Stale(aside) = draft(&path, "a = 9\n") else { panic!("a stale draft is due") };
        assert_eq!(fs::read_to_string(aside).unwrap(), "a = 3\n");
    }

    #[cfg(unix)]
    #[test]
    fn links_and_permissions_stay() {
        use std::os::unix::fs::PermissionsExt;
        let dir = folder("link");
        let (real, link) = (dir.join("real.toml"), dir.join("link.toml"));
        fs::write(&real, "a = 1\n").unwrap();
        fs::set_permissions(&real, fs::Permissions::from_mode(0o600)).unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        save(&link, "a = 2\n").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&real).unwrap(), "a = 2\n");
        assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o600);
    }

    #[test]
    fn troubles_are_told_and_lose_nothing() {
        let dir = folder("trouble");
        assert!(load(&dir).unwrap_err().0.contains("folder"));
        assert!(load(&dir.join("none.toml")).unwrap_err().0.contains("no file"));
        // A target that cannot be replaced (a folder) stays, and no part is left behind.
        assert!(save(&dir.join("."), "x").is_err() || dir.is_dir());
        fs::create_dir(dir.join("taken.toml")).unwrap();
        assert!(save(&dir.join("taken.toml"), "x").is_err());
        assert_eq!(fs::read_dir(&dir).unwrap().count(), 1);
    }

    /// /dev/full is a disk that is always full.
    #[cfg(target_os = "linux")]
    #[test]
    fn a_full_disk_loses_nothing() {
        assert!(fs::OpenOptions::new().write(true).open("/dev/full").and_then(|mut f| f.write_all(b"x")).is_err());
        let dir = folder("full");
        let path = dir.join("bench.toml");
        save(&path, "a = 1\n").unwrap();
        let missing = dir.join("gone").join("bench.toml");
        assert!(save(&missing, "a = 2\n").is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 1\n");
    }
}
