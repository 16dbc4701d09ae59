exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "seen" { marks = 4, done = did("local check", "LG-2001") }

story(function(run)
  if run:wait_until(done("seen"), "5 min") then
    run:tell("Well done.")
  else if run:has(did("lamp test")) then
    run:tell("The lamps alone do not help.")
  end
end) -- finds: script::syntax
