exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
-- finds in this file: warning check::no-model
step "water" { marks = 4, done = did("P-3001", "start") }

story(function(run)
  run:wait_until(did("water"), "5 min") -- finds: script::unknown-action
end)

story(function(run)
  run:wait("1 min")
  run:load("deck machinery", "in") -- finds: script::unknown-consumer
end)

story(function(run)
  run:wait("1 min")
  run:load("L-5415", "on") -- finds: script::argument
end)

story(function(run)
  if run:holds(done("water")) then run:note("The pump was started.") end -- finds: script::not-now
end)
