"""What the messaging channel says by itself; everything else comes with a reply."""

MORE = "More"
CHOOSE = "Please choose:"
TEXT_ONLY = "I can only read text and calendar files. Please type it in words."
FILE_TOO_LONG = "That file is too long for me: I take calendars up to {most} kB. Send fewer months."
NO_FILE = "I could not fetch that file. Please send it once more."
WENT_WRONG = "Something went wrong on my side. Please try that once more."
