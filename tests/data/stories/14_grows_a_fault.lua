-- A fault that the story makes worse, for as long as nobody has found it, and then eases.
--! do: 150 report XV-1001 slow
--! happens: 00:00.0 on slow
--! happens: 00:30.1 slow grows from 2.000 to 10.000
--! happens: 02:30.1 slow grows from 10.000 to 3.000
exercise { title = "Worse and worse", plant = "valve-bench", start = "cold", lasts = "5 min" }
fault "slow" { on = "XV-1001", kind = "sluggish", size = "2 none", at = "0 s" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  run:wait("30 s")
  run:grow("slow", "10 none", "1 min")
  run:wait_until(did("report", "XV-1001"))
  run:grow("slow", "3 none")
end)
