"""The plan's mathematics: windows and steps in, minutes in windows out.

``problem`` is what is asked, in whole numbers; ``spans`` says where each step can lie;
``bound`` proves the least peak from below and ``search`` finds it from above with
``passes``; ``levelling`` flattens what the peak leaves; ``laying`` lays the final plan;
``clock`` gives it times; ``spare`` says how much later a step could end. Method and
sources: the docstrings of these modules.
"""
