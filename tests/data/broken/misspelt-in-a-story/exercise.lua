exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "lamp" { on = "XL-2104", kind = "dark" }
step "flame" { marks = 4, done = lit("BL-2001") }

story(function(run)
  run:wait("5 min")
  if run:has(did("lamp test")) then
    run:injct("lamp") -- finds: script::unknown-method
    run:inject("lmap") -- finds: script::unknown-fault
    run:tell() -- finds: script::argument
  end
end)
