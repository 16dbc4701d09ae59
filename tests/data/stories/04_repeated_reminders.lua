-- Repeats itself with growing pauses until somebody acts.
--! do: 60 operate XV-1001 open
--! happens: 00:20.1 told Reminder 1: the inlet valve.
--! happens: 00:50.1 told Reminder 2: the inlet valve.
exercise { title = "Reminders", plant = "valve-bench", start = "cold", lasts = "5 min" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  local pause = 20.0
  for n = 1, 4 do
    if run:wait_until(did("XV-1001", "open"), pause .. " s") then return end
    run:tell("Reminder " .. n .. ": the inlet valve.")
    pause = pause * 1.5
  end
  run:finish("Nobody answered four reminders.")
end)
