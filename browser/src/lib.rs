//! The program and a browser on it, for the tests of this member.

use headless_chrome::protocol::cdp::Emulation;
use headless_chrome::{Browser, LaunchOptions, Tab};
use std::ffi::OsStr;
use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// A running program with its bench file in a folder of its own.
pub struct Served {
    child: Child,
    /// Address of its page.
    pub address: String,
    /// The bench file.
    pub file: PathBuf,
}

impl Drop for Served {
    fn drop(&mut self) {
        self.kill();
    }
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("a workspace")
}

impl Served {
    /// Copies a text to a bench file of its own and opens it.
    pub fn text(name: &str, text: &str) -> Self {
        // Tests run side by side, several on one example.
        static MADE: AtomicUsize = AtomicUsize::new(0);
        let made = MADE.fetch_add(1, Ordering::Relaxed);
        let dir = std::env::temp_dir().join(format!("tidewright-browser-{name}-{}-{made}", std::process::id()));
        let _ = fs::remove_dir_all(&dir);
        fs::create_dir_all(&dir).expect("a folder");
        let file = dir.join("bench.toml");
        fs::write(&file, text).expect("written");
        Self::open(file)
    }

    /// A shipped example.
    pub fn example(name: &str) -> Self {
        let text = fs::read_to_string(root().join("examples").join(format!("{name}.toml"))).expect("an example");
        Self::text(name, &text)
    }

    /// Opens a bench file.
    pub fn open(file: PathBuf) -> Self {
        let program = root().join("target/release/tidewright");
        let mut child = Command::new(program)
            .args(["open", "--quiet", "--port", "0"])
            .arg(&file)
            .stdout(Stdio::piped())
            .spawn()
            .expect("cargo build --release comes first");
        let out = child.stdout.take().expect("its words");
        let line = BufReader::new(out).lines().next().expect("a line").expect("text");
        let address = line.split_whitespace().find(|w| w.starts_with("http")).expect("an address").to_owned();
        Self { child, address, file }
    }

    /// Ends the program without warning, as a power cut would.
    pub fn kill(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }

    /// The draft beside the bench file.
    pub fn draft(&self) -> PathBuf {
        self.file.with_file_name(".bench.toml.draft")
    }
}

/// A browser with a window of this size.
pub fn browser(width: u32, height: u32) -> Browser {
    let args = [
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
    ];
    let options = LaunchOptions::default_builder()
        .sandbox(false)
        .window_size(Some((width, height)))
        .args(args.iter().map(OsStr::new).collect())
        .idle_browser_timeout(Duration::from_secs(120))
        .build()
        .expect("options");
    Browser::new(options).expect("Chromium; .ci/run installs it")
}

/// A page that tells what went wrong in it.
pub struct Page {
    tab: Arc<Tab>,
}

impl Page {
    /// Opens an address.
    pub fn open(browser: &Browser, address: &str) -> Self {
        let tab = browser.new_tab().expect("a tab");
        tab.set_default_timeout(Duration::from_secs(20));
        tab.navigate_to(address).and_then(|t| t.wait_until_navigated()).expect("the page");
        let page = Self { tab };
        page.run("window.troubles = []; addEventListener('error', e => troubles.push(String(e.message)))");
        page
    }

    /// Runs a script and gives its value.
    pub fn value(&self, script: &str) -> serde_json::Value {
        let answer = self.tab.evaluate(script, true).unwrap_or_else(|e| panic!("{script}: {e}"));
        answer.value.unwrap_or(serde_json::Value::Null)
    }

    /// Runs a script for what it does.
    pub fn run(&self, script: &str) {
        self.value(&format!("(() => {{ {script}; return null }})()"));
    }

    /// A text value.
    pub fn text(&self, script: &str) -> String {
        self.value(script).as_str().unwrap_or_default().to_owned()
    }

    /// A number.
    pub fn number(&self, script: &str) -> f64 {
        self.value(script).as_f64().unwrap_or(f64::NAN)
    }

    /// Waits until a condition holds in the page.
    pub fn until(&self, condition: &str) {
        let start = Instant::now();
        while self.value(&format!("Boolean({condition})")) != serde_json::Value::Bool(true) {
            assert!(start.elapsed() < Duration::from_secs(20), "never true: {condition}");
            std::thread::sleep(Duration::from_millis(15));
        }
    }

    /// Types into the field of a key and leaves it.
    pub fn type_in(&self, path: &str, value: &str) {
        let find = format!("document.querySelector('#values [data-path=\"{path}\"]')");
        assert_eq!(self.value(&format!("Boolean({find})")), serde_json::Value::Bool(true), "no field for {path}");
        self.run(&format!(
            "const e = {find}; for (let d = e.closest('details'); d; d = d.parentElement.closest('details')) d.open = true; e.focus(); e.value = {value:?}; e.dispatchEvent(new Event('input', {{bubbles: true}})); e.dispatchEvent(new Event('change', {{bubbles: true}})); e.blur()"
        ));
    }

    /// Presses a key in the focused element.
    pub fn key(&self, key: &str) {
        self.tab.press_key(key).expect("a key");
    }

    /// Takes the size of a phone, 390 by 844.
    pub fn phone(&self) {
        let size = Emulation::SetDeviceMetricsOverride {
            width: 390,
            height: 844,
            device_scale_factor: 2.0,
            mobile: true,
            scale: None,
            screen_width: None,
            screen_height: None,
            position_x: None,
            position_y: None,
            dont_set_visible_size: None,
            screen_orientation: None,
            viewport: None,
            display_feature: None,
            device_posture: None,
        };
        self.tab.call_method(size).expect("a phone's size");
    }

    /// Looks as on paper.
    pub fn paper(&self) {
        let media = Emulation::SetEmulatedMedia { media: Some("print".into()), features: None };
        self.tab.call_method(media).expect("print media");
    }

    /// What went wrong in the page's own script.
    pub fn troubles(&self) -> String {
        self.value("JSON.stringify(window.troubles || [])").as_str().unwrap_or_default().to_owned()
    }

    /// The page as a PDF.
    pub fn pdf(&self) -> Vec<u8> {
        let options = headless_chrome::types::PrintToPdfOptions {
            print_background: Some(true),
            prefer_css_page_size: Some(true),
            ..Default::default()
        };
        self.tab.print_to_pdf(Some(options)).expect("printed")
    }
}
