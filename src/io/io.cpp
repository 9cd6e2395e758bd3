namespace amphora {}
