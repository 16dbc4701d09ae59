-- finds in this file: warning check::no-model
exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "flame" { marks = 4, done = lit("BL-2001") }

story(function(run)
  if run:holds(lit("BL-2001"):lasting("5 s")) then -- finds: script::not-now
    run:note("the flame burns")
  end
end)
