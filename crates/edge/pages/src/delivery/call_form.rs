//! How a call ended, from a form of a page without scripts to a typed event.

use serde_json::{Map, Value, json};

use crate::delivery::Refused;

/// Fields of the form, in the order in which the browser sends them.
pub struct CallForm<'a>(pub &'a [(String, String)]);

impl CallForm<'_> {
    fn first(&self, name: &str) -> Option<&str> {
        let field = self.0.iter().find(|(n, _)| n == name);
        field.map(|(_, value)| value.trim()).filter(|value| !value.is_empty())
    }

    fn all(&self, name: &str) -> impl Iterator<Item = &str> {
        self.0
            .iter()
            .filter(move |(n, _)| n == name)
            .map(|(_, value)| value.as_str())
    }
}

/// The event of a filled form: `channel` is the station's id, a blank and MHz; `outcome` one of `no-answer`, `busy-gateway`,
/// `busy-channel`, `heard-but-failed`, `linked`, `sent`; `message` the id of each message that went, `size-ID` its length in bytes,
/// `part-ID` the bytes that went when not all did; `received` what came.
///
/// # Errors
/// No channel, no outcome, or nothing that was sent.
pub fn event_of(form: &CallForm<'_>) -> Result<Value, Refused> {
    let channel = form.first("channel").and_then(|c| c.rsplit_once(' '));
    let (station, mhz) = channel
        .ok_or_else(|| Refused::permanent("Which station and channel was it?", "Choose one, then how it ended."))?;
    let freq_mhz: f64 = mhz
        .parse()
        .map_err(|_| Refused::permanent(&format!("“{mhz}” is no frequency in MHz."), "Choose a channel."))?;
    let outcome = match form.first("outcome") {
        Some(plain @ ("no-answer" | "heard-but-failed" | "linked")) => json!(plain),
        Some("busy-gateway") => json!({"busy": {"what": "gateway"}}),
        Some("busy-channel") => json!({"busy": {"what": "channel"}}),
        Some("sent") => json!({ "session": session(form)? }),
        _ => {
            return Err(Refused::permanent(
                "How did the call end?",
                "Press one of the outcomes.",
            ));
        }
    };
    Ok(json!({"called": {"station": station, "freq_mhz": freq_mhz, "outcome": outcome}}))
}

fn session(form: &CallForm<'_>) -> Result<Value, Refused> {
    let mut session = Map::new();
    let sent = form.all("message").map(|id| sent_part(form, id));
    let sent: Vec<Value> = sent.collect::<Result<_, _>>()?;
    let received = form.first("received").map(|words| json!([{ "words": words }]));
    if sent.is_empty() && received.is_none() {
        return Err(Refused::permanent(
            "Nothing is ticked that was sent.",
            "Tick the messages that went, or press “Linked, nothing sent”.",
        ));
    }
    if !sent.is_empty() {
        session.insert("sent".to_owned(), Value::Array(sent));
    }
    if let Some(received) = received {
        session.insert("received".to_owned(), received);
    }
    Ok(Value::Object(session))
}

fn sent_part(form: &CallForm<'_>, id: &str) -> Result<Value, Refused> {
    let number = |name: &str| -> Result<Option<u64>, Refused> {
        let Some(text) = form.first(&format!("{name}-{id}")) else {
            return Ok(None);
        };
        text.parse().map(Some).map_err(|_| {
            Refused::permanent(
                &format!("“{text}” is no number of bytes of {id}."),
                "Write whole bytes, or leave the field empty when all of it went.",
            )
        })
    };
    let size = number("size")?.unwrap_or(0);
    Ok(match number("part")? {
        Some(bytes) if bytes < size => json!({"message": id, "bytes": bytes, "whole": false}),
        Some(bytes) if bytes > size && size > 0 => {
            return Err(Refused::permanent(
                &format!("{bytes} bytes are more than all of {id}, which has {size}."),
                "Leave the field empty when all of it went.",
            ));
        }
        _ => json!({"message": id, "bytes": size, "whole": true}),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(fields: &[(&str, &str)]) -> Result<Value, Refused> {
        let fields: Vec<(String, String)> = fields.iter().map(|(n, v)| ((*n).to_owned(), (*v).to_owned())).collect();
        event_of(&CallForm(&fields))
    }

    #[test]
    fn several_messages_of_one_link_are_one_event() {
        let found = event(&[
            ("channel", "larch 5.356"),
            ("size-arrived", "300"),
            ("part-arrived", ""),
            ("message", "arrived"),
            ("size-stores", "1200"),
            ("part-stores", "500"),
            ("message", "stores"),
            ("size-other", "80"),
            ("outcome", "sent"),
            ("received", "weather from Larch"),
        ]);
        let session = json!({
            "sent": [
                {"message": "arrived", "bytes": 300, "whole": true},
                {"message": "stores", "bytes": 500, "whole": false},
            ],
            "received": [{"words": "weather from Larch"}],
        });
        let call = json!({"called": {"station": "larch", "freq_mhz": 5.356, "outcome": {"session": session}}});
        assert_eq!(found.unwrap(), call);
    }

    #[test]
    fn a_form_that_says_too_little_or_too_much_is_refused() {
        let (channel, sent) = (("channel", "larch 5.356"), ("outcome", "sent"));
        for bad in [
            vec![sent, ("message", "a")],
            vec![channel],
            vec![channel, sent],
            vec![channel, ("outcome", "well")],
            vec![("channel", "larch x"), ("outcome", "linked")],
            vec![channel, sent, ("message", "a"), ("size-a", "300"), ("part-a", "301")],
            vec![channel, sent, ("message", "a"), ("size-a", "300"), ("part-a", "half")],
        ] {
            assert!(event(&bad).is_err(), "{bad:?}");
        }
    }
}
