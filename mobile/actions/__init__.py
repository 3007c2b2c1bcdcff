"""What a person does with the phone, one verb a file. No Kivy here: taps come in through the presenters."""
