"""Plans and what coaches do by hand, against hitters of several minds."""
