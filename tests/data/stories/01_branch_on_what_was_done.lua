-- Branches on what the trainee did: whoever tests the lamps is spared the second fault.
--! do: 30 lamp test
--! happens: 00:10.0 on lamp
--! happens: 01:10.1 told Well watched.
exercise { title = "Branch", plant = "valve-bench", start = "cold", lasts = "5 min" }
fault "lamp" { on = "XL-1001", kind = "dark", at = "10 s" }
fault "stuck" { on = "XV-1002", kind = "seized" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  run:wait_until(fault_acting("lamp"))
  run:wait("1 min")
  if run:not_yet(did("lamp test")) then
    run:inject("stuck")
    run:note("The lamps were not tested.")
  else
    run:tell("Well watched.")
  end
end)
