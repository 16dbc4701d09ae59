-- A fault that the story takes back as soon as it is reported, and says how long that took.
--! do: 50 report XV-1002 it does not open
--! happens: 00:20.0 on stuck
--! happens: 00:50.1 noted found after 30 s
--! happens: 00:50.1 off stuck
exercise { title = "Gives in", plant = "valve-bench", start = "cold", lasts = "5 min" }
fault "stuck" { on = "XV-1002", kind = "seized", at = "20 s" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  run:wait_until(fault_acting("stuck"))
  local since = run:time()
  run:wait_until(did("report", "XV-1002"))
  run:note(("found after %.0f s"):format(run:time() - since))
  run:clear("stuck")
end)
