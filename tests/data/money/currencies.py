"""Writes currencies.csv: decimals of ISO 4217 currencies (package iso4217, which carries the
maintenance agency's own list) and their signs in English (package Babel, Unicode CLDR).

    pip install iso4217==1.16.20260101 Babel==2.18.0
    python currencies.py > currencies.csv
"""

from babel.numbers import get_currency_symbol
from iso4217 import Currency

print("code,decimals,symbol_en")
for currency in sorted(Currency, key=lambda c: c.code):
    code = currency.code.upper()
    decimals = "" if currency.exponent is None else currency.exponent
    print(f"{code},{decimals},{get_currency_symbol(code, 'en')}")
