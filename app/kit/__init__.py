"""Drawing and widget parts that know neither setup nor page."""
