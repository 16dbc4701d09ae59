exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "seen" { marks = 4, done = did("local check", "LG-2001") }

story(function(run)
  run:wait("5 min")
  if run:has(did("lamp test")) and done("seen") then -- finds: script::always-true
    run:note("Both were done.")
  elseif run:not_yet(did("lamp test")) or (run:time() > 400 and lit("BL-2001")) then -- finds: script::always-true
    run:note("One of them.")
  end
end)
