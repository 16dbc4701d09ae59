exercise {
  title = "Two valves, one lamp dark",
  brief = "Open the inlet valve from the panel and the outlet valve on the spot. Trust no single lamp.",
  plant = "valve-bench",
  start = "cold",
  lasts = "5 min",
  trends = { "XV-1001" },
  pass = 6,
}

fault "lamp" { on = "XL-1001", kind = "dark", at = "20 s" }
fault "stuck" { on = "XV-1002", kind = "seized", when = actual("XV-1001"):above("90 % open") }

step "inlet" { marks = 4, done = actual("XV-1001"):above("90 % open"), full_by = "1 min", none_by = "2 min" }
step "never reached" { marks = 2, done = actual("XV-1002"):above("90 % open") }
step "late" { marks = 1, done = did("lamp test"):times(2) }
step "tested" { marks = 2, done = did("lamp test"), after = "inlet" }
limit "not too early" { marks = 2, keep = actual("XV-1002"):below("10 % open") }
response "stuck seen" { to = "stuck", marks = 2, by = did("report", "XV-1002"), full = "60 s", none = "120 s" }

story(function(run)
  run:wait("2 min")
  run:tell("Two minutes have passed.")
end)
