-- finds in this file: warning check::no-model
exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "flame" { marks = 4, done = lit("BL-2001") }

story(function(run)
  run:wait(2) -- finds: script::no-unit
end)
story(function(run)
  local p = run:value(shown("PT-2001"))
  if p < "4 barg" then -- finds: warning script::lua
    run:note("no steam yet")
  end
end)
