//! Under which names we answer, and from which pages requests may come.
//!
//! A name that an attacker points at this machine (DNS rebinding) arrives as that name in `Host` and is refused. A form on another
//! page (CSRF) arrives with that page's origin and is refused.

use std::net::{IpAddr, SocketAddr};

use axum::http::{HeaderMap, Method, header};

/// A request for somebody else.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "This server does not answer under that name. Open http://127.0.0.1:{port} here, or the address shown where it was started."
)]
pub struct HostError {
    /// The port at which we answer.
    port: u16,
}

/// The host of a request, if it is one of ours: this machine's loopback names, or the very address that was connected to.
///
/// # Errors
/// None given, or another.
pub fn host_of(headers: &HeaderMap, here: SocketAddr, port: u16) -> Result<String, HostError> {
    let wrong = HostError { port };
    let mut hosts = headers.get_all(header::HOST).iter();
    let (Some(host), None) = (hosts.next(), hosts.next()) else {
        return Err(wrong);
    };
    let host = host.to_str().map_err(|_| HostError { port })?.to_ascii_lowercase();
    let Some(name) = host.strip_suffix(&format!(":{port}")) else {
        return Err(wrong);
    };
    let loopback = here.ip().to_canonical().is_loopback() && matches!(name, "localhost" | "127.0.0.1" | "[::1]");
    if loopback || name == written(here.ip().to_canonical()) {
        Ok(host)
    } else {
        Err(wrong)
    }
}

/// An address as it stands in a URL.
#[must_use]
pub fn written(ip: IpAddr) -> String {
    match ip {
        IpAddr::V4(ip) => ip.to_string(),
        IpAddr::V6(ip) => format!("[{ip}]"),
    }
}

/// Whether a request comes from one of our own pages. Reading may also come from nowhere (a typed address); changing may not.
#[must_use]
pub fn same_origin(method: &Method, headers: &HeaderMap, host: &str) -> bool {
    let value = |name: &str| headers.get(name).and_then(|v| v.to_str().ok());
    let fetch_site = value("sec-fetch-site");
    if method == Method::GET || method == Method::HEAD {
        // Another page may lead here, but not draw from here.
        let navigates = value("sec-fetch-mode") == Some("navigate");
        return fetch_site.is_none_or(|site| matches!(site, "same-origin" | "none") || navigates);
    }
    match value("origin") {
        Some(origin) => origin.to_ascii_lowercase() == format!("http://{host}"),
        None => fetch_site == Some("same-origin"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(pairs: &[(&'static str, &str)]) -> HeaderMap {
        let mut map = HeaderMap::new();
        for (name, value) in pairs {
            map.append(*name, value.parse().unwrap());
        }
        map
    }

    #[test]
    fn only_our_own_names_are_answered() {
        let local: SocketAddr = "127.0.0.1:8047".parse().unwrap();
        let lan: SocketAddr = "192.168.4.1:8047".parse().unwrap();
        let mapped: SocketAddr = "[::ffff:192.168.4.1]:8047".parse().unwrap();
        let ask = |host: &str, here| host_of(&headers(&[("host", host)]), here, 8047).is_ok();
        assert!(ask("127.0.0.1:8047", local) && ask("localhost:8047", local) && ask("LocalHost:8047", local));
        assert!(ask("192.168.4.1:8047", lan) && ask("192.168.4.1:8047", mapped));
        for bad in [
            "evil.example:8047",
            "127.0.0.1",
            "127.0.0.1:80",
            "localhost.evil.example:8047",
            "",
            "192.168.4.1:8047",
        ] {
            assert!(!ask(bad, local), "{bad}");
        }
        // Who comes over the air cannot call us localhost.
        assert!(!ask("localhost:8047", lan));
        assert!(host_of(&headers(&[]), local, 8047).is_err());
        let twice = headers(&[("host", "127.0.0.1:8047"), ("host", "evil.example:8047")]);
        assert!(host_of(&twice, local, 8047).is_err());
    }

    #[test]
    fn changes_come_from_our_own_pages_only() {
        let post = |pairs: &[(&'static str, &str)]| same_origin(&Method::POST, &headers(pairs), "127.0.0.1:8047");
        assert!(post(&[("origin", "http://127.0.0.1:8047")]));
        assert!(post(&[("sec-fetch-site", "same-origin")]));
        for bad in [
            "http://evil.example",
            "null",
            "http://127.0.0.1:9000",
            "https://127.0.0.1:8047",
            "",
        ] {
            assert!(!post(&[("origin", bad), ("sec-fetch-site", "same-origin")]), "{bad}");
        }
        assert!(!post(&[]) && !post(&[("sec-fetch-site", "cross-site")]) && !post(&[("sec-fetch-site", "none")]));
        let get = |pairs: &[(&'static str, &str)]| same_origin(&Method::GET, &headers(pairs), "127.0.0.1:8047");
        assert!(get(&[]) && get(&[("sec-fetch-site", "none")]));
        assert!(get(&[("sec-fetch-site", "cross-site"), ("sec-fetch-mode", "navigate")]));
        assert!(!get(&[("sec-fetch-site", "cross-site"), ("sec-fetch-mode", "no-cors")]));
    }
}
