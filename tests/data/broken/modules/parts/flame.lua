return lit("BL-2010") -- finds: script::unknown-lamp
