"""What an auditor needs: packs, bags and register held against each other, and each discrepancy named; never mended."""
