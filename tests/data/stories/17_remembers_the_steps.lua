-- Asks for steps that were done long before it asked; once a story that began to wait too late waited for ever.
--! do: 5 operate XV-1001 open
--! do: 10 local check XV-1001
--! happens: 01:00.2 told The inlet was looked at.
--! happens: 02:00.2 noted The outlet was left alone.
exercise { title = "Remembers", plant = "valve-bench", start = "cold", lasts = "5 min" }
step "looked" { marks = 1, done = did("local check", "XV-1001") }
step "outlet" { marks = 1, done = did("XV-1002", "open") }

story(function(run)
  run:wait("1 min")
  if run:wait_until(done("looked"), "30 s") then run:tell("The inlet was looked at.") end
  run:wait("1 min")
  if run:has(done("looked")) and run:not_yet(done("outlet")) then run:note("The outlet was left alone.") end
end)
