"""An invented week of an invented firm: honest jobs, marginal ones, failed ones and typing mistakes."""
