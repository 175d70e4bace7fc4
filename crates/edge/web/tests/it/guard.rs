//! What the server refuses, over a real connection.

use crate::common::{folder, serve};

#[test]
fn only_our_own_names_are_answered() {
    let server = serve(Some(folder("hosts").join("outing.toml")), false);
    let own = format!("localhost:{}", server.port);
    assert_eq!(server.send("GET /", &[("Host", &own)], "").status, 200);
    let foreign = format!("farhop.example:{}", server.port);
    for host in [foreign.as_str(), "127.0.0.1", "farhop.example", "192.0.2.1:80", ""] {
        assert_eq!(server.send("GET /", &[("Host", host)], "").status, 421, "{host}");
    }
}

#[test]
fn changes_come_from_our_own_pages_alone() {
    let home = folder("origins");
    let server = serve(Some(home.join("outing.toml")), false);
    let form = ("Content-Type", "application/x-www-form-urlencoded");
    let other_port = "http://127.0.0.1:1";
    for origin in [Some("http://evil.example"), Some("null"), Some(other_port), None] {
        let mut headers = vec![form];
        headers.extend(origin.map(|o| ("Origin", o)));
        let answer = server.send("POST /edit/start", &headers, "x=1");
        assert_eq!(answer.status, 403, "{origin:?}");
    }
    assert!(!home.join("outing.toml").exists());
    // Another page may not draw from here either, but may lead here.
    let drawn = [("Sec-Fetch-Site", "cross-site"), ("Sec-Fetch-Mode", "no-cors")];
    assert_eq!(server.send("GET /", &drawn, "").status, 403);
    let led = [("Sec-Fetch-Site", "cross-site"), ("Sec-Fetch-Mode", "navigate")];
    assert_eq!(server.send("GET /", &led, "").status, 200);
    assert_eq!(server.post("/edit/start", "x=1").status, 303);
    assert!(home.join("outing.toml").exists());
}

#[test]
fn every_answer_carries_the_policy_refusals_too() {
    let server = serve(Some(folder("headers").join("outing.toml")), false);
    let refused = server.send("GET /", &[("Host", "evil.example")], "");
    for answer in [server.get("/"), server.get("/nothing-here"), refused] {
        let policy = answer.header("content-security-policy").unwrap();
        assert!(
            policy.starts_with("default-src 'none'") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert!(policy.contains("frame-ancestors 'none'"), "{policy}");
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert!(!answer.body.contains("<script>") && !answer.body.contains("style="));
    }
}

#[test]
fn no_path_leads_out_of_the_program() {
    let home = folder("paths");
    std::fs::write(home.join("secret.txt"), "the secret").unwrap();
    let server = serve(Some(home.join("inside/outing.toml")), false);
    for path in [
        "/assets/x/../../secret.txt",
        "/assets/x/..%2f..%2fsecret.txt",
        "/assets/x/%2e%2e%2fsecret.txt",
        "/../secret.txt",
        "//secret.txt",
        "/secret.txt",
        "/assets/../../../../../../etc/passwd",
        "/assets/x/%00",
    ] {
        let answer = server.get(path);
        assert!(matches!(answer.status, 400 | 404), "{path}: {}", answer.status);
        assert!(
            !answer.body.contains("the secret") && !answer.body.contains("root:"),
            "{path}"
        );
    }
}

#[test]
fn a_body_that_is_too_large_is_not_read() {
    let server = serve(Some(folder("bodies").join("outing.toml")), false);
    let form = format!("base=x&text={}", "a".repeat(1_100_000));
    assert_eq!(server.post("/edit/text", &form).status, 413);
    assert_eq!(server.get("/").status, 200);
}

#[test]
fn many_requests_at_once_are_slowed_down() {
    let server = serve(Some(folder("rates").join("outing.toml")), false);
    let refused = (0..2_000).find(|_| server.get("/assets/x/none").status == 429);
    assert!(refused.is_some_and(|n| n >= 100), "refused first: {refused:?}");
}

#[test]
fn a_phrase_lets_one_device_in() {
    let server = serve(Some(folder("phrase").join("outing.toml")), true);
    let phrase = server.phrase.clone().unwrap();
    let page = server.get("/");
    assert_eq!((page.status, page.header("location")), (303, Some("/enter")));
    assert_eq!(
        server.send("GET /kit", &[("Accept", "application/json")], "").status,
        401
    );
    let refused = server.post_json("/field/entry", r#"{"words": "volt 12"}"#);
    assert_eq!(refused.status, 401);
    assert!(refused.body.contains(r#""kind":"phrase""#), "{}", refused.body);

    let answer = server.post("/enter", &format!("phrase={phrase}"));
    assert_eq!(answer.status, 200);
    let cookie = answer.header("set-cookie").unwrap();
    assert!(
        cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"),
        "{cookie}"
    );
    let session = cookie.split(';').next().unwrap().to_owned();
    assert_eq!(server.send("GET /kit", &[("Cookie", &session)], "").status, 200);

    // The phrase is spent, and a made-up session opens nothing.
    assert_eq!(server.post("/enter", &format!("phrase={phrase}")).status, 403);
    let (name, value) = session.split_once('=').unwrap();
    let forged: String = value.chars().rev().collect();
    let forged = format!("{name}={forged}");
    assert_eq!(server.send("GET /kit", &[("Cookie", &forged)], "").status, 401);
    assert!(!server.get("/enter").body.contains(&phrase));
}

#[test]
fn phrases_cannot_be_guessed_quickly() {
    let server = serve(Some(folder("guesses").join("outing.toml")), true);
    let tries: Vec<u16> = (0..8)
        .map(|_| server.post("/enter", "phrase=bada-bada-bada-bada").status)
        .collect();
    assert_eq!(tries[0], 403);
    assert_eq!(tries[7], 429, "{tries:?}");
    // The true one waits as well, or a guesser could tell it apart.
    let phrase = server.phrase.clone().unwrap();
    assert_eq!(server.post("/enter", &format!("phrase={phrase}")).status, 429);
}

#[test]
fn wrong_phrases_from_elsewhere_keep_nobody_out() {
    let server = serve(Some(folder("elsewhere").join("outing.toml")), true);
    let phrase = server.phrase.clone().unwrap();
    for _ in 0..8 {
        server.post("/enter", "phrase=bada-bada-bada-bada");
    }
    assert_eq!(server.post("/enter", "phrase=bada-bada-bada-bada").status, 429);
    let right = server.post_from([127, 0, 0, 2], "/enter", &format!("phrase={phrase}"));
    assert_eq!(right.status, 200, "{}", right.body);
}

#[test]
fn half_sent_requests_from_one_address_stop_nobody() {
    let server = serve(Some(folder("slow").join("outing.toml")), false);
    let mut open: Vec<std::net::TcpStream> = Vec::new();
    for _ in 0..300 {
        let Ok(mut stream) = std::net::TcpStream::connect(("127.0.0.1", server.port)) else {
            break;
        };
        let _ = std::io::Write::write_all(&mut stream, b"GET / HTTP/1.1\r\nHost: 127.0.0.1");
        open.push(stream);
    }
    // The same address has used its share; another is served.
    let answer = server.send_from([127, 0, 0, 2], "GET /assets/x/none", &[], "");
    assert_eq!(answer.status, 404, "{}", answer.body);
    // Those who do not go on are let go, and their address is served again.
    std::thread::sleep(std::time::Duration::from_secs(11));
    assert_eq!(server.get("/assets/x/none").status, 404);
}

#[test]
fn pages_are_sent_compressed_to_who_asks_for_it() {
    let server = serve(Some(folder("packed").join("outing.toml")), false);
    let answer = server.send("GET /edit", &[("Accept-Encoding", "gzip")], "");
    assert_eq!((answer.status, answer.header("content-encoding")), (200, Some("gzip")));
    assert_eq!(server.get("/edit").header("content-encoding"), None);
}

#[test]
fn the_field_page_is_compressed_when_its_step_is_known() {
    let server = serve(None, false);
    server.ready();
    // Worked out once; then it is there at once.
    let first = server.get("/field");
    assert_eq!(first.status, 200);
    let packed = (0..20).any(|_| {
        let answer = server.send("GET /field", &[("Accept-Encoding", "gzip")], "");
        answer.header("content-encoding") == Some("gzip")
    });
    assert!(packed);
}
