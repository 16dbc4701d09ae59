-- Waits for something, and does another thing when it does not come in time.
--! happens: 01:00.1 told The inlet is still shut: open it.
--! happens: 01:30.1 ended The inlet was never opened.
exercise { title = "Time out", plant = "valve-bench", start = "cold", lasts = "5 min" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  if run:wait_until(actual("XV-1001"):above("90 % open"), "1 min") then
    run:tell("Thank you.")
  else
    run:tell("The inlet is still shut: open it.")
    if not run:wait_until(actual("XV-1001"):above("90 % open"), "30 s") then
      run:finish("The inlet was never opened.")
    end
  end
end)
