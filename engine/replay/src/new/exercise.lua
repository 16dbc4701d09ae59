-- An exercise to begin with: sea water is brought on, and one lamp is dead.
-- Everything behind two strokes is a remark. The book has every word that may stand here.

exercise {
  title = "Sea water on, with a dead lamp",
  brief = "Open the sea inlet and the overboard valve, start the main sea-water pump, and report what is wrong.",
  plant = "training-vessel",
  start = "cold",
  lasts = "10 min",
  trends = { "PT-1101" },
  pass = 7,
  out_of = 10,
}

-- What goes wrong. A choice of two: neighbours in a class get different ones.
local lamp = variant("lamp", "XL-1101", "XL-1106")
fault "lamp" { on = lamp, kind = "dark", at = "0 s" }

-- What the trainee should bring about, and keep.
step "water" {
  marks = 4,
  done = all(actual("XV-1101"):above("90 % open"), actual("XV-1106"):above("90 % open")),
  full_by = "4 min", none_by = "8 min",
}
step "pump" {
  marks = 2,
  done = shown("PT-1101"):above("1 barg"):lasting("10 s"),
  after = "water",
}
limit "not dry" {
  marks = 2,
  keep = actual("XV-1101"):above("50 % open"),
  during = actual("P-1101"):is("running"),
  none_after = "20 s",
}

-- What should be noticed, and how soon.
response "lamp found" {
  to = "lamp",
  marks = 2,
  by = did("report", lamp),
  full = "6 min", none = "9 min",
  practise = "Prove a lamp before you believe it: test it, then send somebody to look.",
}

-- A story follows the run as it goes. Take the strokes away to try this one.
-- story(function(run)
--   run:wait_until(did("P-1101", "start"))
--   run:wait("2 min")
--   run:tell("The bridge asks when cooling water will be on.")
-- end)
