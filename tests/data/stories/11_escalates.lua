-- Escalates step by step, and stops escalating once the trainee has noticed anything.
--! do: 60 local check XV-1002
--! happens: 00:00.1 on lamp
--! happens: 00:40.1 on other lamp
--! happens: 01:00.1 told You have noticed something. Go on.
exercise { title = "Escalates", plant = "valve-bench", start = "cold", lasts = "5 min" }
fault "lamp" { on = "XL-1001", kind = "dark" }
fault "other lamp" { on = "XL-1002", kind = "stuck lit" }
fault "stuck" { on = "XV-1002", kind = "seized" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  local noticed = any(did("report"), did("local check"))
  for _, name in ipairs({ "lamp", "other lamp", "stuck" }) do
    run:inject(name)
    if run:wait_until(noticed, "40 s") then
      run:tell("You have noticed something. Go on.")
      return
    end
  end
  run:finish("Three things failed, and nobody noticed any.")
end)
