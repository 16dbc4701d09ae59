-- A fault that grows, one that comes and goes, and the trainee sends the helper to mend what was found.
--! do: 40 repair XL-1001
--! do: 50 repair XV-1002
--! happens: 00:10.0 on slow
--! happens: 00:20.0 on lamp
--! happens: 01:00.0 off lamp
--! happens: 01:00.1 told The lamp has been changed.
--! happens: 03:20.0 off slow
exercise { title = "Mended", plant = "valve-bench", start = "cold", lasts = "5 min" }
fault "lamp" { on = "XL-1001", kind = "stuck lit", at = "20 s", there_for = { "3 s", "6 s" }, away_for = "4 s", repaired_in = "20 s" }
fault "slow" { on = "XV-1002", kind = "sluggish", size = "10 none", at = "10 s", grows_over = "30 s", repaired_in = "2 min" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  run:wait_until(fault_acting("lamp"))
  if run:wait_until(not_(fault_acting("lamp")), "3 min") then
    run:tell("The lamp has been changed.")
  end
end)
