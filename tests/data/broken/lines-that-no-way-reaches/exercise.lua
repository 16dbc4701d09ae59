exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
-- finds in this file: warning check::no-model
local fire = actual("BSH-2001"):is("flame")
step "flame" { marks = 4, done = fire }
step "seen" { marks = 1, done = did("local check", "LG-2001") }

story(function(run)
  local came = run:wait_until(fire, "90 min")
  if not came then
    run:note("The boiler was never lit.") -- finds: warning script::unreached
  end
  if run:value(shown("PT-2001")) > 40 then
    run:tell("The gauge goes to 25 barg.") -- finds: warning script::unreached
    run:wait("1 min")
  elseif run:value(shown("PT-2001")) > 20 then
    run:tell("The pressure is high.")
  end
end)

-- Yes to the first question and no to the second: neither all yes nor all no comes here.
story(function(run)
  if run:wait_until(done("seen"), "10 min") then
    run:wait("1 min")
    if run:has(did("lamp test")) then
      run:tell("Well watched.")
    elseif run:holds(shown("PT-2001"):above("40 barg")) then -- finds: warning script::never
      run:tell("Far too much.") -- finds: warning script::unreached
    end
  end
end)
