-- A whole exercise, with most of the words.
exercise {
  title = "Dark lamp on the way to steam", plant = "demo", start = "cold", lasts = "80 min",
  brief = "Raise steam to the first consumer.",
  changes = { ["P-3101"] = "start", ["FCV-3102"] = "20 % open" },
  trends = { "PT-3001", "LT-3001" }, pass = 12,
}

fault "lamp" { on = "XL-2104", kind = "dark", at = "5 min" }
fault "feed" { on = "FCV-3102", kind = "seized", when = shown("PT-3001"):above("4 barg"):lasting("30 s") }
fault "flame" { on = "B-3001", kind = "flame lost" }

step "purge" { marks = 6, done = actual("FT-3301"):above("12 kg/s"):lasting("60 s"), critical = true }
step "light up" { marks = 4, done = lit("XL-3310"), after = "purge", full_by = "30 min", none_by = "50 min" }
step "proved" {
  marks = 4,
  done = did("lamp test"):followed_within("2 min", did("local check", "XV-2104")),
  practise = "Prove a lamp before you believe it.",
}
limit "superheater" { marks = 10, keep = actual("TT-3207"):below("420 degC"), none_beyond = "20 K", critical = true }
limit "level" {
  marks = 5, keep = shown("LT-3001"):within("120 mm", "0 mm"),
  during = all(lit("XL-3310"), not_(tripped("B-3001"))), none_after = "3 min",
}
limit "alarms" { marks = 2, keep = alarm("LAL-3001"):answered_within("1 min", did("acknowledge", "LAL-3001")) }
response "level answered" { to = "feed", marks = 8, by = did("P-3102", "start"), full = "45 s", none = "4 min" }

story(function(run)
  run:wait_until(done("light up"))
  run:wait("5 min")
  if run:not_yet(did("P-3102", "start")) then run:inject("flame") end
end)
