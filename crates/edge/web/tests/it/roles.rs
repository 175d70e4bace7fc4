//! What a device may do is what its phrase lets it, over real connections; and a device that is thrown out is out.

use crate::common::{Answer, Running, folder, serve};

/// A device that is in.
struct Device<'a> {
    server: &'a Running,
    cookie: String,
}

impl<'a> Device<'a> {
    /// Lets a device in by a phrase.
    fn enters(server: &'a Running, phrase: &str) -> Self {
        let answer = server.post("/enter", &format!("phrase={phrase}"));
        assert_eq!(answer.status, 200, "{}", answer.body);
        let cookie = answer.header("set-cookie").unwrap();
        let cookie = cookie.split(';').next().unwrap().to_owned();
        Self { server, cookie }
    }

    /// The one at which the server was started.
    fn first(server: &'a Running) -> Self {
        Self::enters(server, server.phrase.as_deref().unwrap())
    }

    /// Another one, by the phrase that this one is shown for a role.
    fn invites(&self, role: &str) -> Self {
        Self::enters(self.server, &phrase_on(&self.get(&format!("/invite?role={role}")).body))
    }

    fn get(&self, path: &str) -> Answer {
        let headers = [("Cookie", self.cookie.as_str()), ("Accept", "text/html")];
        self.server.send(&format!("GET {path}"), &headers, "")
    }

    fn post(&self, path: &str, kind: &str, body: &str) -> Answer {
        let origin = format!("http://{}", self.server.host());
        let headers = [
            ("Cookie", self.cookie.as_str()),
            ("Origin", origin.as_str()),
            ("Content-Type", kind),
            ("Accept", "application/json"),
        ];
        self.server.send(&format!("POST {path}"), &headers, body)
    }

    fn form(&self, path: &str, form: &str) -> Answer {
        self.post(path, "application/x-www-form-urlencoded", form)
    }

    fn logs(&self, words: &str) -> Answer {
        let entry = format!(r#"{{"key": "{}", "words": "{words}"}}"#, words.replace([' ', '.'], "-"));
        self.post("/field/entry", "application/json", &entry)
    }
}

/// The phrase in a page of invitation.
fn phrase_on(page: &str) -> String {
    let after = page.split("<b class=\"phrase\">").nth(1).unwrap();
    after.split('<').next().unwrap().to_owned()
}

/// A server that shares an outing which can be planned.
fn shared(name: &str) -> Running {
    let server = serve(Some(folder(name).join("outing.toml")), true);
    let first = Device::first(&server);
    assert_eq!(first.form("/edit/start", "x=1").status, 303);
    // The phrase that let it in is spent; the test goes on with the one that the device is shown.
    let phrase = phrase_on(&first.get("/invite?role=edit").body);
    drop(first);
    Running {
        port: server.port,
        phrase: Some(phrase),
    }
}

#[test]
fn each_role_may_what_it_says_and_no_more() {
    let server = shared("roles");
    let edit = Device::first(&server);
    let (look, log) = (edit.invites("look"), edit.invites("log"));
    for device in [&look, &log, &edit] {
        for page in ["/", "/field", "/edit", "/kit", "/invite"] {
            assert_eq!(device.get(page).status, 200, "{page}");
        }
        assert_eq!(device.form("/theme", "theme=night&back=/").status, 303);
    }
    assert_eq!(
        [&look, &log, &edit].map(|d| d.logs("volt 12.4").status),
        [403, 200, 200]
    );
    for (path, form) in [
        ("/field/log", "words=volt+12.3"),
        ("/field/undo", "of=volt-12-4"),
        ("/fault", "act=begin&seen0=on"),
        ("/stop", "x=1"),
        ("/again", "x=1"),
    ] {
        let answer = look.form(path, form);
        assert_eq!(answer.status, 403, "look: {path}");
        assert!(answer.body.contains("may look"), "{}", answer.body);
        let status = log.form(path, form).status;
        assert!(status < 400, "log: {path}: {status}");
    }
    for path in [
        "/edit/text",
        "/edit/values",
        "/edit/change",
        "/edit/stations",
        "/edit/undo",
        "/edit/start",
        "/invite/out",
        "/invite/alone",
    ] {
        for (name, device) in [("look", &look), ("log", &log)] {
            assert_eq!(
                device.form(path, "base=x&text=x&device=x").status,
                403,
                "{name}: {path}"
            );
        }
    }
    // Nothing of that was done: both others are still in, and the text is that of the start.
    assert_eq!([&look, &log].map(|d| d.get("/kit").status), [200, 200]);
    // A phone whose entry was refused for its role keeps it, and goes on after a phrase.
    let refused = look.logs("volt 12.2");
    assert!(refused.body.contains(r#""kind":"phrase""#), "{}", refused.body);
}

#[test]
fn what_a_device_may_not_do_is_not_shown_to_it() {
    let server = shared("shown");
    let edit = Device::first(&server);
    let (look, log) = (edit.invites("look"), edit.invites("log"));
    assert_eq!(edit.logs("volt 12.4").status, 200);
    // The plan is awaited, so that the pages are whole.
    while edit.get("/kit").body.contains("id=\"waiting\"") {
        std::thread::sleep(std::time::Duration::from_millis(200));
    }
    let forms = |page: &str| -> Vec<String> {
        // What only asks changes nothing; what changes something is posted.
        let tags = page.split("<form").skip(1).map(|f| f.split('>').next().unwrap());
        let actions = tags
            .filter(|tag| tag.contains("method=\"post\""))
            .map(|tag| tag.split("action=\"").nth(1).unwrap());
        let mut found: Vec<String> = actions.map(|a| a.split('"').next().unwrap().to_owned()).collect();
        found.sort();
        found.dedup();
        found
    };
    let pages = [
        "/",
        "/hours",
        "/antennas",
        "/energy",
        "/kit",
        "/field",
        "/fault",
        "/debrief",
        "/edit",
    ];
    for page in pages {
        let shown = look.get(page).body;
        for action in forms(&shown) {
            // The line of the field page holds two forms that stay hidden until they are needed.
            let hidden = page == "/field" && matches!(action.as_str(), "/enter" | "/field/undo");
            assert!(action == "/theme" || hidden, "{page} shows a looker {action}");
        }
        assert!(!shown.contains("href=\"/edit"), "{page} leads a looker to the form");
        assert!(
            !log.get(page).body.contains("action=\"/edit"),
            "{page} shows a logger the form"
        );
    }
    assert!(look.get("/field").body.contains("This device may look, not log"));
    assert!(forms(&log.get("/field").body).contains(&"/field/log".to_owned()));
    assert!(forms(&log.get("/fault").body).contains(&"/fault".to_owned()));
    assert!(forms(&edit.get("/edit").body).contains(&"/edit/values".to_owned()));
    assert!(edit.get("/kit").body.contains("href=\"/edit\""));
    assert!(!look.get("/invite").body.contains("/invite/out") && !log.get("/invite").body.contains("/invite/out"));
}

#[test]
fn nobody_gives_more_than_he_has() {
    let server = shared("gives");
    let edit = Device::first(&server);
    let (look, log) = (edit.invites("look"), edit.invites("log"));
    let shown = |device: &Device<'_>, role: &str| phrase_on(&device.get(&format!("/invite?role={role}")).body);
    let phrases = ["look", "log", "edit"].map(|role| shown(&edit, role));
    assert!(phrases[0] != phrases[1] && phrases[1] != phrases[2]);
    assert_eq!(shown(&log, "edit"), phrases[1]);
    assert_eq!(shown(&look, "edit"), phrases[0]);
    assert_eq!(shown(&look, "log"), phrases[0]);
}

#[test]
fn a_device_that_is_thrown_out_is_out_at_once() {
    let server = shared("out");
    let edit = Device::first(&server);
    let (log, other) = (edit.invites("log"), edit.invites("log"));
    assert_eq!(log.form("/invite/name", "name=Blue+phone").status, 303);
    assert_eq!(log.logs("volt 12.4").status, 200);
    let list = edit.get("/invite").body;
    let row = list.split("<tr>").find(|row| row.contains("Blue phone")).unwrap();
    assert!(row.contains("look and log") && row.contains("now"), "{row}");
    let id = row
        .split("name=\"device\" value=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    assert_eq!(edit.form("/invite/out", &format!("device={id}")).status, 303);
    assert_eq!(log.logs("volt 12.3").status, 401);
    assert_eq!(log.get("/kit").status, 303);
    assert_eq!(other.logs("volt 12.2").status, 200);
    assert!(!edit.get("/invite").body.contains("Blue phone"));
    assert_eq!(edit.form("/invite/out", &format!("device={id}")).status, 404);
}

#[test]
fn another_phrase_lets_the_same_device_do_more() {
    let server = shared("more");
    let edit = Device::first(&server);
    let look = edit.invites("look");
    assert_eq!(look.form("/invite/name", "name=Hut").status, 303);
    assert_eq!(look.logs("volt 12.4").status, 403);
    let phrase = phrase_on(&edit.get("/invite?role=log").body);
    let answer = look.form("/enter", &format!("phrase={phrase}"));
    assert_eq!(answer.status, 200);
    let cookie = answer.header("set-cookie").unwrap();
    let log = Device {
        server: &server,
        cookie: cookie.split(';').next().unwrap().to_owned(),
    };
    assert_eq!(log.logs("volt 12.4").status, 200);
    assert_eq!(look.get("/kit").status, 303);
    assert!(edit.get("/invite").body.contains("Hut"));
}
