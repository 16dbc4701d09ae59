-- finds in this file: warning check::no-model
exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "flame" { marks = 4, done = lit("BL-2001") }

story(function(run)
  run:wait("5 min")
  while true do end -- finds: script::fuel
end)
