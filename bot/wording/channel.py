"""What the messaging channel says by itself; everything else comes with a reply."""

MORE = "More"
CHOOSE = "Please choose:"
TEXT_ONLY = "I can only read text. Please type it in words."
WENT_WRONG = "Something went wrong on my side. Please try that once more."
