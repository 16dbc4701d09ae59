//! The class page and two debriefs of the shipped class as a browser sees them: no complaint, nothing
//! asked of anybody outside, and a print of more than one page.

use super::bench::run;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const HOW_TO_INSTALL: &str = "this test opens the pages in Chromium, and no \"chromium\" was found: install it \
                              (Debian: apt-get install chromium) or name its program in the variable CHROMIUM";

/// The pages, and headings that must be read on each.
const PAGES: &[(&str, &[&str])] = &[
    (
        "class.html",
        &["Who against which item", "The items", "Where the class lost marks", "How long faults went unanswered"],
    ),
    (
        "debriefs/t-11.html",
        &["Not passed", "What happened", "Trends", "Item by item", "What to practise", "Everything in order of time"],
    ),
    ("debriefs/t-19.html", &["Passed", "Trends", "What you saw beside what was true", "Item by item"]),
];

/// Chromium without windows and without what it does by itself on the net, on one page.
fn browser(page: &Path, profile: &Path, more: &[String]) -> (String, String) {
    let program = std::env::var("CHROMIUM").unwrap_or_else(|_| "chromium".to_owned());
    let output = Command::new(&program)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-extensions",
            "--host-resolver-rules=MAP * ~NOTFOUND",
            "--enable-logging=stderr",
        ])
        .arg(format!("--user-data-dir={}", profile.display()))
        .args(more)
        .arg(format!("file://{}", page.display()))
        .stdin(Stdio::null())
        .output()
        .unwrap_or_else(|e| panic!("{HOW_TO_INSTALL} ({program}: {e})"));
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let (out, err) = (text(&output.stdout), text(&output.stderr));
    assert!(output.status.success(), "{program} failed on {}: {err}", page.display());
    (out, err)
}

/// What a page complained about, in the browser's own lines.
fn complaints(err: &str) -> Vec<&str> {
    err.lines().filter(|l| l.contains("CONSOLE") || l.contains("Content Security Policy")).collect()
}

/// The addresses outside that the page asked for. The browser has errands of its own, which do not
/// bear the mark of a page from a file and, with no names to be resolved, come to nothing.
fn asked_outside(net_log: &Path) -> Vec<String> {
    let log = fs::read_to_string(net_log).unwrap();
    let of_the_page = log.lines().filter(|l| l.contains("\"network_isolation_key\":\"file://"));
    let mut found: Vec<String> = of_the_page
        .filter_map(|l| l.split("\"url\":\"").nth(1)?.split('"').next())
        .filter(|url| !["file:", "data:", "about:"].iter().any(|local| url.starts_with(local)))
        .map(ToOwned::to_owned)
        .collect();
    found.sort();
    found.dedup();
    found
}

/// Widths of a window, from a telephone's (as narrow as the browser's windows go) to a desk's.
const WIDTHS: [u32; 6] = [500, 560, 620, 690, 800, 1280];

/// By how many pixels a page reaches past a window of this width, so that all of it would have to be moved sideways. The
/// page is asked by a script, which its own rules would not let run: they are taken out of the copy that is opened.
fn too_wide(source: &str, width: u32, folder: &Path) -> i64 {
    let rules = source.find("<meta http-equiv=\"Content-Security-Policy\"").map_or(0..0, |at| {
        let end = source[at..].find('>').expect("a tag ends");
        at..at + end + 1
    });
    let mut copy = source.to_owned();
    copy.replace_range(rules, "");
    copy.push_str(
        "<script>var d=document.documentElement;document.title='past '+(d.scrollWidth-d.clientWidth)+' px'</script>",
    );
    let page = folder.join("asked.html");
    fs::write(&page, copy).unwrap();
    let more = [format!("--window-size={width},900"), "--dump-dom".to_owned()];
    let (dom, err) = browser(&page, &folder.join("profile"), &more);
    let told = dom.split("<title>past ").nth(1).and_then(|rest| rest.split(" px").next());
    told.unwrap_or_else(|| panic!("no answer: {err}")).parse().unwrap()
}

fn results(folder: &Path) -> PathBuf {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = folder.join("out");
    let logs = folder.join("logs");
    fs::create_dir(&logs).unwrap();
    for id in ["t-02", "t-11", "t-19"] {
        let name = format!("{id}.jsonl");
        fs::copy(root.join("scenarios/raise-steam/class").join(&name), logs.join(&name)).unwrap();
    }
    let said = run(
        root,
        &["grade", "scenarios/raise-steam", logs.to_str().unwrap(), "--out", out.to_str().unwrap(), "--jobs", "2"],
    );
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    out
}

#[test]
fn a_browser_opens_the_shipped_class_without_a_complaint_and_asks_nobody() {
    let folder = tempfile::tempdir().unwrap();
    let out = results(folder.path());
    for (index, (name, headings)) in PAGES.iter().enumerate() {
        let net_log = folder.path().join(format!("net-{index}.json"));
        let more = ["--dump-dom".to_owned(), format!("--log-net-log={}", net_log.display())];
        let (dom, err) = browser(&out.join(name), &folder.path().join("profile"), &more);
        assert_eq!(complaints(&err), Vec::<&str>::new(), "{name}");
        assert_eq!(asked_outside(&net_log), Vec::<String>::new(), "{name}");
        for heading in *headings {
            let there =
                dom.split("<h2").skip(1).any(|h| h.split("</h2>").next().unwrap().ends_with(&format!(">{heading}")));
            assert!(there, "{name} has no heading \"{heading}\"");
        }
        // What the source could make a browser fetch, even where this one did not.
        let source = fs::read_to_string(out.join(name)).unwrap();
        for fetch in ["<script", "<link", "<iframe", "<object", "<img", "@import", "src=", "url(http", "href=\"http"] {
            assert!(!source.contains(fetch), "{name} has {fetch}");
        }
        // Links, as the browser read them, lead to files that are there.
        for link in dom.split("href=\"").skip(1).filter_map(|rest| rest.split('"').next()) {
            assert!(out.join(link).exists(), "{name}: {link}");
        }
    }
    for (name, _) in PAGES {
        let source = fs::read_to_string(out.join(name)).unwrap();
        for width in WIDTHS {
            assert_eq!(too_wide(&source, width, folder.path()), 0, "{name} reaches past a window of {width}");
        }
    }
    let pdf = folder.path().join("t-11.pdf");
    let print = [format!("--print-to-pdf={}", pdf.display())];
    browser(&out.join("debriefs/t-11.html"), &folder.path().join("profile"), &print);
    let printed = fs::read(&pdf).unwrap();
    assert!(printed.starts_with(b"%PDF-"), "not a PDF");
    let printed = String::from_utf8_lossy(&printed);
    let pages = printed.matches("/Type /Page").count() - printed.matches("/Type /Pages").count();
    assert!(pages > 1, "{pages} pages");
}

/// That the test above can fail: a page that complains and asks outside is told.
#[test]
fn a_page_that_complains_or_asks_outside_is_seen() {
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("bad.html");
    fs::write(
        &page,
        "<!DOCTYPE html><title>bad</title><h2>Bad</h2><img src=\"http://plant.invalid/a.png\"><script>console.warn('no')</script>",
    )
    .unwrap();
    let net_log = folder.path().join("net.json");
    let more = ["--dump-dom".to_owned(), format!("--log-net-log={}", net_log.display())];
    let (_, err) = browser(&page, &folder.path().join("profile"), &more);
    assert!(!complaints(&err).is_empty(), "{err}");
    assert!(asked_outside(&net_log).iter().any(|url| url.contains("plant.invalid")), "{}", net_log.display());
    let wide = "<!DOCTYPE html><title>wide</title><p style=\"width: 900px\">Wide</p>";
    assert!(too_wide(wide, 500, folder.path()) > 300 && too_wide(wide, 1280, folder.path()) == 0);
}
