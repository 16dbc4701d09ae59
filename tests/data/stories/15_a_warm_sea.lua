-- The ship comes into a warm sea and a hot engine room: the story asks the plant how far it has felt that.
--! happens: 00:00.1 told The sea: 24 degrees.
--! happens: 00:00.1 sea temperature from 24.0 degC to 34.0 degC
--! happens: 00:00.1 air temperature from 24.0 degC to 45.0 degC
--! happens: 01:13.8 told The sea: 34 degrees.
exercise { title = "A warm sea", plant = "training-vessel", start = "cooling-up", lasts = "5 min" }
step "warm" { marks = 1, done = shown("TT-1101"):above("33 degC") }

story(function(run)
  run:tell(("The sea: %.0f degrees."):format(run:value(shown("TT-1101"))))
  run:weather("sea temperature", "34 degC", "1 min")
  run:weather("air temperature", "45 degC")
  if run:wait_until(shown("TT-1101"):above("33.5 degC"), "3 min") then
    run:tell(("The sea: %.0f degrees."):format(run:value(shown("TT-1101"))))
  end
end)
