"""From worked-out facts to ranked, judged plans; ``ranked_plans.py`` is the door."""
