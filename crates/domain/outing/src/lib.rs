//! The checked outing: places, stations, kit, messages, schedule, conditions.
