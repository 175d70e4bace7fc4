//! What people see: views, text, JSON, charts.
