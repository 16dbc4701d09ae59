-- A fault that comes and goes in a rhythm of its own.
--! happens: 00:30.1 on lamp
--! happens: 00:35.1 off lamp
--! happens: 00:55.1 on lamp
--! happens: 01:00.1 off lamp
--! happens: 01:10.1 on lamp
--! happens: 01:15.1 off lamp
exercise { title = "Comes and goes", plant = "valve-bench", start = "cold", lasts = "5 min" }
fault "lamp" { on = "XL-1001", kind = "stuck lit" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  for _, pause in ipairs({ "30 s", "20 s", "10 s" }) do
    run:wait(pause)
    run:inject("lamp")
    run:wait("5 s")
    run:clear("lamp")
  end
end)
